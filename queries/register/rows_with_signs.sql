-- One row per row of a register that may say what codes mean: of three cells at most by signs of equality between
-- words, by wide gaps or by letters before types of asbestos, or in a heading that names the signs of its column.
-- On a sheet of single cells also by codes in capitals one after the other (`TC textured coating, AC cement`), and by
-- what cells say one after the other (`material / result / amount`). `is_alone`: it stands on such a sheet, or one of
-- labels with a text each, which speaks for the whole workbook.
with sheets as (
    select
        path,
        sheet
    from source_sheets
    where kind = 'registers'
),

notes as (
    select
        r.path,
        r.sheet
    from raw_rows as r
    inner join sheets as s on r.path = s.path and r.sheet = s.sheet
    group by r.path, r.sheet
    having max(len(list_filter(r.cells, lambda cell: trim(cell) <> ''))) <= 2
)

select
    r.path,
    r.sheet,
    n.path is not null as is_alone,
    r.cells
from raw_rows as r
inner join sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
left join notes as n on r.path = n.path and r.sheet = n.sheet
where
    -- few rows have any of these marks, and to look is cheap
    (
        contains(array_to_string(r.cells, ' '), '+')
        and list_has_any(r.cells, ['+/-', '+ / -', '+/–', '-/+', '+ or -'])
    )
    or (
        (
            contains(array_to_string(r.cells, ' '), '=')
            or contains(array_to_string(r.cells, ' '), ': ')
            or contains(array_to_string(r.cells, ' '), 'mosite')
        )
        and len(list_filter(r.cells, lambda cell: trim(cell) <> '')) <= 3
        and len(
            list_filter(
                r.cells,
                lambda cell: regexp_matches(
                    cell,
                    '=[^=]*[A-Za-z][^=]*=|^[A-Za-z_. ]{2,30}: *[A-Z/]{1,4} +[a-z].*( {2,}|;)[A-Z/]{1,4} +[a-z]'
                    || '|: *[01][ .)–-]+[A-Za-z][^0-9]+[12][ .)–-]+[A-Za-z][^0-9]+[23][ .)–-]+[A-Za-z]'
                    || '|(^|[,;] )[A-Z][a-z]? (?i:chrysotile|amosite|crocidolite)[,;] [A-Z][a-z]? (?i:chry|amo|croc)'
                )
            )
        ) > 0
    )
    or case
        when n.path is not null
            then
                regexp_matches(
                    array_to_string(r.cells, ' '),
                    '(^|[,:;] +)[A-Z][A-Za-z/+]{0,4} [a-z]{3}[^,;]*([,;] [A-Z][A-Za-z/+]{0,4} [a-z]{3}[^,;]*){2}'
                    || '|[a-z] / [a-z][^/:=.]* / [a-z]'
                )
        else false
    end
order by r.path, r.sheet nulls first, r.row_number
