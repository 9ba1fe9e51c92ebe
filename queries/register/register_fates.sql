-- One row per raw row of a register sheet with a heading, or line of one written across. What becomes of each: the
-- layout of the sheet, used, or set aside with a reason.
-- Kept as a step.
with repeated as (
    select hash(cells) as mark
    from table_rows
    where kind = 'registers'
    group by mark
    having count(*) > 1
),

repeats as (
    select
        r.path,
        r.sheet,
        r.row_number,
        row_number() over same as nth,
        lag(concat_ws(', ', r.path, r.sheet, 'row ' || coalesce(w.source_row, r.row_number))) over same as same_row
    from table_rows as t
    inner join register_lines as r
        on t.path = r.path and t.sheet is not distinct from r.sheet and t.row_number = r.row_number
    left join spread_rows as w
        on r.path = w.path and r.sheet is not distinct from w.sheet and r.row_number = w.row_number
    left join property_matches as m
        on
            r.property_ref is not distinct from m.property_ref
            and r.uprn is not distinct from m.uprn
            and r.address is not distinct from m.address
            and r.postcode is not distinct from m.postcode
    where
        t.kind = 'registers'
        and hash(t.cells) in (
            select mark
            from repeated
        )
    window same as (partition by r.line, t.cells, m.found, r.surveyed_on order by r.path, r.sheet, r.row_number)
),

matched as (
    select
        r.path,
        r.sheet,
        r.row_number,
        r.line,
        r.first_said,
        m.found as property_ref,
        m.match_method,
        m.is_contradicted,
        m.match_reason,
        m.confidence,
        m.unmatched_code,
        array_to_string(m.candidates, ', ') as candidates,
        concat_ws(', ', r.property_ref, r.uprn, r.address, r.postcode) as said_property,
        coalesce(r.property_ref, r.uprn, r.address) is not null as names_property,
        -- a row that is only numbered says nothing of the room above it
        coalesce(
            if(
                r.is_room_carried
                and coalesce(r.extent, r.damage, r.sample_ref, r.asbestos_types, r.notes) is null,
                null,
                r.room
            ), r.product, r.identification
        ) is not null as records_something,
        -- the whole row, not what was keyed `in error as cement`
        case
            when r.record_void is not null then r.record_void
            when
                contains(lower(r.notes), 'error')
                and regexp_matches(
                    r.notes,
                    '(?i)^\W*((this|the) )?((row|record|line|item|entry) )?((was|is|has been) )?'
                    || '(keyed|entered|input|inputted|typed|logged|recorded|created|added|raised)( here)? in error'
                    || '(\W*$|\W.*\b(disregard|ignore|delete|void|belongs|another|wrong (address|property|home|flat'
                    || '|block))\b)'
                )
                then r.notes
        end as said_error,
        d.nth,
        d.same_row,
        x.heading as extract_heading
    from register_lines as r
    left join extracts as x on r.table_id = x.table_id
    left join repeats as d
        on r.path = d.path and r.sheet is not distinct from d.sheet and r.row_number = d.row_number
    left join property_matches as m
        on
            r.property_ref is not distinct from m.property_ref
            and r.uprn is not distinct from m.uprn
            and r.address is not distinct from m.address
            and r.postcode is not distinct from m.postcode
            and r.room_flat is not distinct from m.room_flat
)

select
    path,
    sheet,
    row_number,
    property_ref,
    match_method,
    match_reason,
    confidence,
    is_contradicted,
    line = 'layout' as is_layout,
    case
        when line = 'layout' then null
        when line = 'above' then 'above_heading'
        when line = 'totals' then 'totals_row'
        when line in ('one cell', 'remark') then 'one_cell_row'
        when extract_heading is not null then 'extract_row'
        when not names_property then 'no_property'
        when property_ref is null then unmatched_code
        when said_error is not null then 'entered_in_error'
        when not records_something then 'nothing_recorded'
        when nth > 1 then 'duplicate_row'
    end as reason_code,
    case reason_code
        when 'one_cell_row' then first_said
        when 'entered_in_error' then said_error
        when 'ambiguous_property' then candidates
        when 'near_property' then candidates
        when 'not_ours' then said_property
        when 'unknown_property' then said_property
        when 'duplicate_row' then same_row
        when 'extract_row' then extract_heading
    end as value
from matched
