-- One row per row below a heading. What people decided a register row says, in corrections/factors files: which row,
-- which field, what it holds, who says so, when and why.
-- Kept as a step.
with written as (
    select
        r.path,
        r.sheet,
        r.row_number,
        nullif(trim(r.cells[p.link_path_at]), '') as row_path,
        coalesce(trim(r.cells[p.link_sheet_at]), '') as row_sheet,
        try_cast(trim(r.cells[p.link_row_at]) as integer) as row_of_sheet,
        coalesce(try_cast(trim(r.cells[p.link_part_at]) as integer), 1) as part,
        lower(trim(r.cells[p.corrected_field_at])) as field,
        nullif(
            regexp_replace(
                regexp_replace(lower(trim(r.cells[p.corrected_value_at])), '\s*\+\s*', '+', 'g'), '\s+', '_', 'g'
            ), ''
        ) as value,
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
        and regexp_matches(r.path, '^corrections/(.*/)?factors[^/]*$')
),

possible as (
    select
        field,
        list(value order by value) as held
    from correctable_values
    group by field
),

judged as (
    select
        w.*,
        case
            when w.row_path is null or w.row_of_sheet is null then 'correction_names_nothing'
            when w.value is null then 'correction_without_answer'
            when w.who is null or w.said_on is null then 'correction_unsigned'
            when f.field is null then 'correction_unknown_field'
            when w.field = 'extent'
                then case
                    when coalesce(try_cast(w.value as double) between 0 and l.value, false) then null
                    else 'correction_impossible_value'
                end
            when
                not list_has_all(
                    p.held, case when w.field = 'asbestos_types' then string_split(w.value, '+') else [w.value] end
                )
                then 'correction_impossible_value'
        end as fault
    from written as w
    inner join reference.limits as l on l.name = 'extent_most'
    left join reference.correctable_fields as f on w.field = f.field
    left join possible as p on w.field = p.field
)

select
    * exclude (fault),
    case
        when fault is not null then fault
        when
            row_number() over (
                partition by row_path, row_sheet, row_of_sheet, part, field, fault is null
                order by path desc, sheet desc, row_number desc
            ) > 1
            then 'correction_meets_nothing'
    end as reason_code
from judged
