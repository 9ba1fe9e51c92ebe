-- One row per row of a register, of three cells at most, that may say what codes mean, by signs of equality between
-- words or by wide gaps.
-- `is_alone`: it stands on a sheet of single cells, which speaks for the whole workbook.
with rows_said as (
    select
        r.path,
        r.sheet,
        r.row_number,
        r.cells,
        len(list_filter(r.cells, lambda cell: trim(cell) <> '')) as n_filled
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    where s.kind = 'registers'
),

notes as (
    select
        path,
        sheet
    from rows_said
    where sheet is not null
    group by path, sheet
    having max(n_filled) = 1
)

select
    r.path,
    r.sheet,
    n.path is not null as is_alone,
    r.cells
from rows_said as r
left join notes as n on r.path = n.path and r.sheet = n.sheet
where
    r.n_filled <= 3
    and len(
        list_filter(
            r.cells,
            lambda cell: regexp_matches(
                cell, '=[^=]*[A-Za-z][^=]*=|^[A-Za-z_. ]{2,30}: *[A-Z/]{1,4} +[a-z].*( {2,}|;)[A-Z/]{1,4} +[a-z]'
            )
        )
    ) > 0
order by r.path, r.sheet nulls first, r.row_number
