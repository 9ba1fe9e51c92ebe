-- One row per line of a register that may say in words what the columns of the rows below it are, and row up to six
-- below. Of one cell, with three marks or more that part short texts: `it goes flat / room / what it is / how much`.
with alone as (
    select
        r.path,
        r.sheet,
        r.row_number,
        array_to_string(r.cells, '') as text
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    where
        s.kind = 'registers'
        -- few rows have so few cells, and to look is cheap
        and case
            when len(list_filter(r.cells, lambda cell: cell <> '')) <= 3
                then len(list_filter(r.cells, lambda cell: trim(cell) <> '')) = 1
            else false
        end
),

lines as (
    select
        *,
        unnest(generate_series(row_number + 1, row_number + 6)) as row_below
    from alone
    where
        regexp_matches(
            text,
            '([^/]{2,60}/){3}|([^,]{2,60},){3}|([^|]{2,60}\|){3}|([^;]{2,60};){3}'
            || '|( [-–—] .{2,60}){3}|( then .{2,60}){3}'
        )
)

select
    n.path,
    n.sheet,
    n.row_number,
    n.text,
    b.cells
from lines as n
inner join raw_rows as b
    on n.path = b.path and n.sheet is not distinct from b.sheet and n.row_below = b.row_number
order by n.path, n.sheet nulls first, n.row_number, b.row_number
