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
    f.path,
    f.sheet,
    f.row_number,
    case
        when f.reason_code is not null then f.reason_code
        when r.entry_id is null then 'correction_meets_nothing'
    end as reason_code,
    concat_ws(', ', f.row_path, nullif(f.row_sheet, ''), f.row_of_sheet, f.field, f.value, f.who, f.said_on) as value
from corrections_factors as f
left join entries as r
    on f.row_path = r.path and f.row_sheet = coalesce(r.sheet, '') and f.row_of_sheet = r.row_number and f.part = r.part
union all
select
    a.path,
    a.sheet,
    a.row_number,
    case
        when a.reason_code is not null then a.reason_code
        when
            not exists (
                from doubts as d
                where
                    a.row_path = d.path
                    and a.row_sheet = coalesce(d.sheet, '')
                    and a.row_of_sheet = d.row_number
                    and a.doubt = d.doubt
            )
            then 'correction_meets_nothing'
    end as reason_code,
    concat_ws(', ', a.row_path, nullif(a.row_sheet, ''), a.row_of_sheet, a.doubt, a.who, a.said_on) as value
from corrections_accepted as a
union all
select
    path,
    sheet,
    row_number,
    'not_used_yet' as reason_code,
    kind as value
from sundry_rows
where
    kind = 'corrections'
    and line <> 'layout'
    and path not in ('corrections/headings.csv', 'corrections/terms.csv')
    and not regexp_matches(path, '^corrections/(.*/)?(properties|links|factors|accepted)[^/]*$')
