-- One row per row of a works sheet below its heading. The job lists read into values; a reason stands beside the rows
-- that cannot be used. Work that was started has disturbed the fabric and counts like work done.
-- $as_of: the day that the figures hold for
-- Kept as a step.
with repeated as (
    select hash(cells) as mark
    from table_rows
    where kind = 'works' and line = 'item'
    group by mark
    having count(*) > 1
),

repeats as (
    select
        path,
        sheet,
        row_number,
        row_number() over same as nth,
        lag(concat_ws(', ', path, sheet, 'row ' || row_number)) over same as same_row
    from table_rows
    where
        kind = 'works'
        and line = 'item'
        and hash(cells) in (
            select mark
            from repeated
        )
    window same as (partition by cells order by path, sheet, row_number)
),

days as (
    select
        written,
        try_strptime(
            written,
            [
                '%Y-%m-%d', '%d/%m/%y', '%d/%m/%Y', '%d-%m-%y', '%d-%m-%Y', '%d.%m.%y', '%d.%m.%Y', '%d %b %Y',
                '%d %B %Y'
            ]
        )::date as day
    from (
        select done_on as written
        from works_lines
        union
        select raised_on as written
        from works_lines
    ) as said
),

matched as (
    select
        w.path,
        w.sheet,
        w.row_number,
        w.job_ref,
        m.found as property_ref,
        m.unmatched_code,
        array_to_string(m.candidates, ', ') as candidates,
        coalesce(w.property_ref, w.uprn, w.address) is not null as names_property,
        w.line,
        concat_ws(', ', w.property_ref, w.uprn, w.address, w.postcode) as said_property,
        coalesce(w.description, w.work_type) as description,
        coalesce(work.work_types, []) as work_types,
        coalesce(work.opens, false) as opens,
        coalesce(status.term, 'done') as status,
        coalesce(w.done_on, w.raised_on) as day_text,
        case
            when
                done.day <= $as_of
                and coalesce(done.day >= raised.day, true)
                and year(done.day) >= (
                    select value
                    from reference.limits
                    where name = 'earliest_year'
                )
                then done.day
        end as done_on,
        d.nth,
        d.same_row
    from works_lines as w
    left join repeats as d
        on w.path = d.path and w.sheet is not distinct from d.sheet and w.row_number = d.row_number
    left join property_matches as m
        on
            w.property_ref is not distinct from m.property_ref
            and w.uprn is not distinct from m.uprn
            and w.address is not distinct from m.address
            and w.postcode is not distinct from m.postcode
            and m.room_flat is null
    left join recognised_jobs as work
        on
            w.work_type is not distinct from work.work_type
            and w.description is not distinct from work.description
            and w.trade is not distinct from work.trade
    left join days as done on coalesce(w.done_on, w.raised_on) = done.written
    left join days as raised on w.raised_on = raised.written
    left join recognised_words as status on status.field = 'job_status' and w.status = status.written
)

select
    path,
    sheet,
    row_number,
    job_ref,
    property_ref,
    description,
    work_types,
    opens,
    done_on,
    case
        when line = 'above' then 'above_heading'
        when line = 'totals' then 'totals_row'
        when status = 'cancelled' then 'job_cancelled'
        when status = 'open' then 'job_open'
        when not names_property then 'no_property'
        when property_ref is null then unmatched_code
        when description is null then 'job_without_words'
        when done_on is null then 'job_without_date'
        when len(work_types) = 0 then 'unknown_work'
        when nth > 1 then 'duplicate_row'
    end as reason_code,
    case reason_code
        when 'ambiguous_property' then candidates
        when 'near_property' then candidates
        when 'not_ours' then said_property
        when 'unknown_property' then said_property
        when 'job_without_date' then day_text
        when 'unknown_work' then description
        when 'duplicate_row' then same_row
    end as value
from matched
