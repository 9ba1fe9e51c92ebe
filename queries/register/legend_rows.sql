-- One row per row of a sheet that may be a key to the codes of its workbook: a short one, with few cells a row or a
-- column that tells what another means, beside other sheets.
with sheets as (
    select
        r.path,
        r.sheet,
        count(*) as n_rows,
        max(len(list_filter(r.cells, lambda cell: trim(cell) <> ''))) as n_filled,
        bool_or(
            regexp_matches(array_to_string(r.cells, '|'), '(?i)(^|\|)[^|]{2,30} mean(s|ings?)\s*(\||$)')
        ) as says_means
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet = s.sheet
    where s.kind = 'registers'
    group by r.path, r.sheet
),

small as (
    select
        s.path,
        s.sheet
    from sheets as s
    inner join reference.limits as most on most.name = 'legend_rows_most'
    inner join reference.limits as wide on wide.name = 'legend_cells_most'
    where s.n_rows <= most.value and (s.n_filled <= wide.value or s.says_means)
)

select
    r.path,
    r.sheet,
    r.cells
from raw_rows as r
inner join small as s on r.path = s.path and r.sheet = s.sheet
where
    r.path in (
        select path
        from sheets
        group by path
        having count(*) > 1
    )
order by r.path, r.sheet, r.row_number
