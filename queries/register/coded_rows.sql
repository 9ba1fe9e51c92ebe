-- The rows of workbooks with a key to their codes. One row per row.
-- $paths: the workbooks
select
    path,
    sheet,
    row_number,
    cells
from raw_rows
where list_contains($paths::varchar[], path)
order by path, sheet, row_number
