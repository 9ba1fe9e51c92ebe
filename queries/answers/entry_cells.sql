-- The source row of an entry as it stood in the file, beside how its columns were read. One row per column.
-- $entry_id: which entry
with cells as (
    select
        r.path,
        r.sheet,
        unnest(r.cells) as written,
        unnest(range(1, len(r.cells) + 1)) as position
    from entries as e
    inner join raw_rows as r
        on e.path = r.path and e.sheet is not distinct from r.sheet and e.row_number = r.row_number
    where e.entry_id = $entry_id
)

select
    c.position::integer as position,
    h.heading,
    c.written,
    h.field
from cells as c
left join headings as h
    on c.path = h.path and c.sheet is not distinct from h.sheet and c.position = h.position
order by c.position
