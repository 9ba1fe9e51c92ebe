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
    and h.field in ('property_ref', 'uprn', 'address', 'building_name', 'building_ref')
    and trim(r.cells[h.position]) <> ''
union
-- the street or block that comes first in an address, without its number
select distinct
    'street' as field,
    trim(
        regexp_replace(
            lower(
                regexp_extract(
                    regexp_replace(
                        r.cells[h.position],
                        '^(?i:(communal|common|landlord.?s?|shared)( areas?| parts?)?[ ,]+)?'
                        || '(?i:(flat|apartment|apt|maisonette|unit|garage|lock-?up)?\s*(no\.?\s*)?[0-9]*[a-z]?[ ,]+)?'
                        || '(?i:[0-9]+[a-z]?(-[0-9]+[a-z]?)?[ ,]+)?',
                        ''
                    ),
                    '^[^,(]+'
                )
            ), '[^a-z0-9+#]+', ' ', 'g'
        )
    ) as value
from headings as h
inner join heading_rows as t on h.table_id = t.table_id
inner join raw_rows as r
    on t.path = r.path and t.sheet is not distinct from r.sheet and t.heading_row < r.row_number
where
    t.kind = 'stock'
    and h.field = 'address'
    and value like '% %'
