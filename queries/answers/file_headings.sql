-- How the columns of a file were read. One row per column.
-- $path: which file
-- $sheet: which sheet, or null for files without sheets
select
    position,
    heading,
    field,
    confidence,
    reason
from headings
where path = $path and sheet is not distinct from $sheet
order by position
