-- One row per row that may be a heading. Where the headings of a sheet may stand: among its first rows, and below
-- blank rows and lines of a few cells.
-- $is_stock: property lists, or all other files
-- $rows: how many of a sheet's first rows
with breaks as (
    select
        *,
        max(case when gap > 1 or n_filled <= 2 then nth end) over (
            partition by path, sheet
            order by row_number
        ) as last_break
    from row_shapes
    where (kind = 'stock') = $is_stock
)

select
    path,
    sheet,
    kind,
    row_number,
    cells
from breaks
where nth <= $rows or (nth - last_break <= 3 and n_filled > 2)
order by path, sheet nulls first, kind, row_number
