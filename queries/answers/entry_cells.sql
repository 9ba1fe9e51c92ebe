-- The source row of an entry as it stood in the file, beside how its columns were read. One row per column.
-- $entry_id: which entry
select
    h.position,
    h.heading,
    r.cells[h.position] as written,
    h.field
from entries as e
inner join raw_rows as r
    on e.path = r.path and e.sheet is not distinct from r.sheet and e.row_number = r.row_number
inner join headings as h on e.path = h.path and e.sheet is not distinct from h.sheet
where e.entry_id = $entry_id
order by h.position
