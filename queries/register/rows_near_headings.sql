-- What stands above each heading, up to the one before, and the first rows below it. One row per table and row.
-- $table_ids: the tables found
-- $paths: the file of each
-- $sheets: the sheet of each
-- $first_rows: the first row of each heading
-- $heading_rows: the last row of each heading
with found as (
    select
        unnest($table_ids::integer[]) as table_id,
        unnest($paths::varchar[]) as path,
        unnest($sheets::varchar[]) as sheet,
        unnest($first_rows::integer[]) as first_row,
        unnest($heading_rows::integer[]) as heading_row
),

read_limits as (
    select
        max(value) filter (where name = 'rows_above_read') as rows_above,
        max(value) filter (where name = 'rows_below_read') as rows_below
    from reference.limits
),

bounded as (
    select
        f.*,
        coalesce(lag(f.heading_row) over tables_of_sheet, 0) as heading_before,
        f.first_row - l.rows_above as from_row,
        least(
            coalesce(lead(f.first_row) over tables_of_sheet - 1, f.heading_row + l.rows_below),
            f.heading_row + l.rows_below
        ) as to_row
    from found as f
    cross join read_limits as l
    window tables_of_sheet as (partition by f.path, f.sheet order by f.heading_row)
)

select
    h.table_id,
    h.heading_before,
    r.row_number,
    r.cells
from bounded as h
inner join row_shapes as r
    on
        h.path = r.path
        and h.sheet is not distinct from r.sheet
        and h.heading_before < r.row_number
        and r.row_number between h.from_row and h.to_row
        and r.kind not in ('results', 'results layout')
order by h.table_id, r.row_number
