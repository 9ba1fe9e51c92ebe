-- One row per row below a heading. Which doubts people accepted, in corrections/accepted files: the row, the doubt,
-- who says so, when and why.
-- Kept as a step.
with written as (
    select
        r.path,
        r.sheet,
        r.row_number,
        nullif(trim(r.cells[p.link_path_at]), '') as row_path,
        coalesce(trim(r.cells[p.link_sheet_at]), '') as row_sheet,
        try_cast(trim(r.cells[p.link_row_at]) as integer) as row_of_sheet,
        nullif(lower(trim(r.cells[p.accepted_doubt_at])), '') as doubt,
        nullif(trim(r.cells[p.who_at]), '') as who,
        coalesce(
            try_cast(trim(r.cells[p.on_at]) as date), try_strptime(trim(r.cells[p.on_at]), '%d/%m/%Y')::date
        ) as said_on,
        nullif(trim(r.cells[p.why_at]), '') as why
    from sundry_rows as r
    inner join table_columns as p on r.table_id = p.table_id
    where
        r.kind = 'corrections'
        and r.line <> 'layout'
        and regexp_matches(r.path, '^corrections/(.*/)?accepted[^/]*$')
),

judged as (
    select
        w.*,
        case
            when w.row_path is null or w.row_of_sheet is null then 'correction_names_nothing'
            when w.doubt is null then 'correction_without_answer'
            when w.who is null or w.said_on is null then 'correction_unsigned'
            when d.doubt is null then 'correction_unknown_doubt'
        end as fault
    from written as w
    left join reference.doubts as d on w.doubt = d.doubt and d.kind <> 'corrected'
)

select
    * exclude (fault),
    case
        when fault is not null then fault
        when
            row_number() over (
                partition by row_path, row_sheet, row_of_sheet, doubt, fault is null
                order by path desc, sheet desc, row_number desc
            ) > 1
            then 'correction_meets_nothing'
    end as reason_code
from judged
