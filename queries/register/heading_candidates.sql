-- One row per row that may be a heading. Where the headings of a sheet may stand: among its first rows, and below
-- blank rows and lines of a few cells.
-- $is_stock: property lists, or all other files
-- $rows: how many of a sheet's first rows
with sheets as (
    select
        path,
        coalesce(sheet, '') as sheet_key,
        min(row_number) as first_row,
        min(n_filled) > 2 and max(row_number) - min(row_number) + 1 = count(*) as is_unbroken
    from row_shapes
    where (kind = 'stock') = $is_stock and kind not in ('results', 'results layout')
    group by path, sheet_key
),

placed as (
    select
        r.path,
        coalesce(r.sheet, '') as sheet_key,
        r.row_number,
        r.n_filled,
        row_number() over rows_of_sheet as nth,
        coalesce(r.row_number - lag(r.row_number) over rows_of_sheet, 1) as gap
    from row_shapes as r
    inner join sheets as s on r.path = s.path and coalesce(r.sheet, '') = s.sheet_key
    where
        (not s.is_unbroken or r.row_number < s.first_row + $rows)
        and r.kind not in ('results', 'results layout')
    window rows_of_sheet as (partition by r.path, r.sheet order by r.row_number)
),

breaks as (
    select
        *,
        max(case when gap > 1 or n_filled <= 2 then nth end) over (
            partition by path, sheet_key
            order by row_number
        ) as last_break
    from placed
),

near_breaks as (
    select
        path,
        sheet_key,
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
    on r.path = b.path and coalesce(r.sheet, '') = b.sheet_key and r.row_number = b.row_number
order by r.path, r.sheet nulls first, r.kind, r.row_number
