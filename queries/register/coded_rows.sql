-- The rows of workbooks with a key to their codes. One row per row.
-- $paths: the workbooks
-- $rows: up to which row of a sheet; null for all
select
    path,
    sheet,
    row_number,
    cells
from raw_rows
where list_contains($paths::varchar[], path) and ($rows is null or row_number <= $rows)
order by path, sheet, row_number
