-- One row per row of a samples sheet below its heading. What laboratories found, read into values; a reason stands
-- beside the rows that say nothing that can be used.
-- $as_of: the day that the figures hold for
-- Kept as a step.
with marks as (
    select hash(cells) as mark
    from sample_lines
    where line = 'item'
    group by mark
    having count(*) > 1
),

repeated as (
    select
        path,
        sheet,
        row_number,
        row_number() over same as nth,
        lag(concat_ws(', ', path, sheet, 'row ' || row_number)) over same as same_row
    from sample_lines
    where
        line = 'item'
        and hash(cells) in (
            select mark
            from marks
        )
    window same as (
        partition by cells, property_ref, uprn, address, surveyed_on, analysed_on, certificate_ref
        order by path, sheet, row_number
    )
),

termed as (
    select
        s.*,
        coalesce(s.property_ref, s.uprn, s.address) is not null as names_property,
        concat_ws(', ', s.property_ref, s.uprn, s.address, s.postcode) as said_property,
        m.found as matched_ref,
        m.match_method,
        m.unmatched_code,
        array_to_string(m.candidates, ', ') as candidates,
        x.sha256,
        d.nth,
        d.same_row,
        taken.day as sampled_on,
        case when analysed.day <= $as_of then analysed.day end as analysed_day,
        product.term as product_term,
        place.term as place_term,
        coalesce('detected' in (result.outcome, type.outcome), false) as is_detected,
        coalesce(
            case when is_detected then 'detected' end,
            case when 'none' in (result.outcome, type.outcome) then 'none' end,
            result.outcome, type.outcome
        ) as outcome,
        list_sort(list_distinct(coalesce(result.types, []) || coalesce(type.types, []))) as types,
        coalesce('several' in (result.how, type.how), false)
        or coalesce(is_detected and 'none' in (result.outcome, type.outcome), false) as is_several,
        coalesce('within' in (result.how, type.how), false) as is_within
    from sample_lines as s
    inner join source_sheets as x on s.path = x.path and s.sheet is not distinct from x.sheet
    left join repeated as d
        on s.path = d.path and s.sheet is not distinct from d.sheet and s.row_number = d.row_number
    left join property_matches as m
        on
            s.property_ref is not distinct from m.property_ref
            and s.uprn is not distinct from m.uprn
            and s.address is not distinct from m.address
            and s.postcode is not distinct from m.postcode
            and m.room_flat is null
    left join dates_read as taken
        on s.path = taken.path and s.surveyed_on = taken.written and coalesce(taken.hand, '') = ''
    left join dates_read as analysed
        on s.path = analysed.path and s.analysed_on = analysed.written and coalesce(analysed.hand, '') = ''
    left join recognised_results as result on s.analysis_result = result.written
    left join recognised_results as type on s.asbestos_types = type.written
    left join recognised_words as product on product.field = 'product' and s.product = product.written
    left join recognised_words as place on place.field = 'place' and s.room = place.written
)

select
    left(sha256(concat_ws('|', sha256, coalesce(sheet, ''), row_number, part)), 20) as sample_id,
    path,
    sheet,
    row_number,
    part is not null as is_on_sheet,
    names_property,
    matched_ref as property_ref,
    match_method,
    is_carried,
    sample_ref,
    lab_ref,
    sampled_on,
    analysed_day as analysed_on,
    analysed_on is not null and analysed_day is null as is_date_impossible,
    outcome = 'detected' as is_positive,
    case when outcome = 'detected' and len(types) = 0 then ['unknown'] else types end as asbestos_types,
    is_several,
    is_within,
    product as product_text,
    nullif(nullif(product_term, 'none'), 'not_asbestos') as product,
    room as room_text,
    place_term as place,
    concat_ws(', ', analysis_result, asbestos_types) as result_text,
    laboratory,
    certificate_ref,
    analyst,
    case
        when line = 'totals' then 'totals_row'
        when sample_ref is null and outcome is null then 'sample_says_nothing'
        when sample_ref is null then 'sample_without_reference'
        when outcome is null and result_text = '' then 'sample_without_result'
        when outcome is null then 'unknown_result'
        when outcome = 'no_result' then 'sample_without_result'
        when names_property and matched_ref is null then unmatched_code
        when nth > 1 then 'duplicate_row'
    end as reason_code,
    case reason_code
        when 'sample_without_result' then result_text
        when 'unknown_result' then result_text
        when 'ambiguous_property' then candidates
        when 'near_property' then candidates
        when 'not_ours' then said_property
        when 'unknown_property' then said_property
        when 'duplicate_row' then same_row
    end as value
from termed
