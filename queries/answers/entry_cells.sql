-- One row per column. The source row of an entry as it stood in the file, beside how its columns were read; a row may
-- be longer or shorter than its heading.
-- $entry_id: which entry
-- $property_ref: its property, by which entries are kept
with chosen as (
    select
        r.path,
        r.sheet,
        r.cells
    from entries as e
    inner join raw_rows as r
        on e.path = r.path and e.sheet is not distinct from r.sheet and e.row_number = r.row_number
    where e.property_ref = $property_ref and e.entry_id = $entry_id
),

columns_read as (
    select
        h.position,
        h.heading,
        h.field
    from headings as h
    inner join chosen as c on h.path = c.path and h.sheet is not distinct from c.sheet
),

cells as (
    select
        unnest(cells) as written,
        unnest(range(1, len(cells) + 1)) as position
    from chosen
)

select
    coalesce(c.position, h.position)::integer as position,
    h.heading,
    c.written,
    h.field
from cells as c
full outer join columns_read as h on c.position = h.position
order by 1
