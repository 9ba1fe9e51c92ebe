-- One row per row that may be a heading. Where the headings of a sheet may stand: among its first rows, and below
-- blank rows and lines of a few cells.
-- $is_stock: property lists, or all other files
-- $rows: how many of a sheet's first rows
with placed as (
    select
        path,
        sheet,
        row_number,
        n_filled,
        row_number() over rows_of_sheet as nth,
        coalesce(row_number - lag(row_number) over rows_of_sheet, 1) as gap
    from row_shapes
    where (kind = 'stock') = $is_stock
    window rows_of_sheet as (partition by path, sheet order by row_number)
),

breaks as (
    select
        *,
        max(case when gap > 1 or n_filled <= 2 then nth end) over (
            partition by path, sheet
            order by row_number
        ) as last_break
    from placed
),

near_breaks as (
    select
        path,
        sheet,
        row_number
    from breaks
    where nth <= $rows or (nth - last_break <= 3 and n_filled > 2)
)

select
    r.path,
    r.sheet,
    r.kind,
    r.row_number,
    r.cells
from row_shapes as r
inner join near_breaks as b
    on r.path = b.path and r.sheet is not distinct from b.sheet and r.row_number = b.row_number
order by r.path, r.sheet nulls first, r.kind, r.row_number
