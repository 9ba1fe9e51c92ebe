-- What became of each correction. One row per row of corrections/ below a heading, but for answers about headings.
-- Kept as a step.
with used as (
    select distinct
        path,
        sheet,
        row_number
    from property_answers
)

select
    c.path,
    c.sheet,
    c.row_number,
    case
        when c.reason_code is not null then c.reason_code
        when u.path is null then 'correction_meets_nothing'
    end as reason_code,
    case
        when c.reason_code = 'correction_unknown_property' then c.answer
        else concat_ws(', ', c.said_property_ref, c.said_uprn, c.said_address, c.said_postcode)
    end as value
from corrections_properties as c
left join used as u
    on c.path = u.path and c.sheet is not distinct from u.sheet and c.row_number = u.row_number
union all
select
    path,
    sheet,
    row_number,
    reason_code,
    concat_ws(', ', field, written, term) as value
from corrections_terms
union all
select
    path,
    sheet,
    row_number,
    reason_code,
    value
from corrections_links
union all
select
    path,
    sheet,
    row_number,
    'not_used_yet' as reason_code,
    kind as value
from table_rows
where
    kind = 'corrections'
    and line <> 'layout'
    and path not in ('corrections/headings.csv', 'corrections/terms.csv')
    and not regexp_matches(path, '^corrections/(.*/)?(properties|links)[^/]*$')
