-- The first rows below a file's heading, as they stand. One row per raw row.
-- $path: which file
-- $sheet: which sheet, or null for files without sheets
-- $top: how many
select
    r.row_number,
    r.cells
from raw_rows as r
inner join heading_rows as h on r.path = h.path and r.sheet is not distinct from h.sheet
where r.path = $path and r.sheet is not distinct from $sheet and r.row_number > h.heading_row
order by r.row_number
limit $top
