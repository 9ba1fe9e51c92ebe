-- What the property list calls its properties, to know such a column elsewhere. One row per field and distinct value,
-- plain as words.plain has it.
select distinct
    h.field,
    trim(
        regexp_replace(
            replace(replace(lower(r.cells[h.position]), '²', '2'), '³', '3'), '[^a-z0-9+#]+', ' ', 'g'
        )
    ) as value
from headings as h
inner join heading_rows as t on h.table_id = t.table_id
inner join raw_rows as r
    on t.path = r.path and t.sheet is not distinct from r.sheet and t.heading_row < r.row_number
where
    t.kind = 'stock'
    and h.field in ('property_ref', 'uprn', 'address', 'building_name')
    and trim(r.cells[h.position]) <> ''
