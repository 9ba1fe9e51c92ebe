-- What a person could decide, with what lets them. One row per question.
with met as (
    select
        property_ref,
        uprn,
        address,
        postcode,
        room_flat
    from register_lines
    where line = 'item'
    union all
    select
        property_ref,
        uprn,
        address,
        postcode,
        null as room_flat
    from works_lines
    where line = 'item'
    union all
    select
        property_ref,
        uprn,
        address,
        postcode,
        null as room_flat
    from sample_lines
    where line = 'item'
),

known as (
    select
        property_ref,
        address,
        postcode
    from stock_properties
    union
    select
        property_ref,
        address,
        postcode
    from block_parts
),

asked as (
    select
        m.named_id,
        m.property_ref,
        m.uprn,
        m.address,
        m.postcode,
        m.unmatched_code,
        m.candidates,
        count(*)::integer as n_rows
    from property_matches as m
    inner join met as r
        on
            m.property_ref is not distinct from r.property_ref
            and m.uprn is not distinct from r.uprn
            and m.address is not distinct from r.address
            and m.postcode is not distinct from r.postcode
            and m.room_flat is not distinct from r.room_flat
    where m.unmatched_code in ('ambiguous_property', 'near_property')
    group by all
),

reasons as (
    select
        named_id,
        property_ref,
        max_by(reason, (confidence, reason)) as reason
    from property_candidates
    group by named_id, property_ref
),

candidates as (
    select
        a.named_id,
        list(
            concat_ws(', ', k.property_ref, k.address, k.postcode) || coalesce(': ' || r.reason, '')
            order by a.nth
        ) as candidates
    from (
        select
            named_id,
            unnest(candidates) as property_ref,
            generate_subscripts(candidates, 1) as nth
        from asked
    ) as a
    inner join known as k on a.property_ref = k.property_ref
    left join reasons as r on a.named_id = r.named_id and a.property_ref = r.property_ref
    group by a.named_id
),

sizes as (
    select
        table_id,
        count(*)::integer as n_rows
    from table_rows
    where line = 'item'
    group by table_id
),

answers as (
    select
        'property' as kind,
        case a.unmatched_code
            when 'ambiguous_property' then 'Which of these properties is meant?'
            else 'Is one of these properties meant?'
        end as question,
        a.n_rows,
        concat_ws(', ', a.property_ref, a.uprn, a.address, a.postcode) as written,
        list_transform(
            [a.property_ref, a.uprn, a.address, a.postcode],
            lambda cell: regexp_replace(coalesce(cell, ''), '\s+', ' ', 'g')
        ) as asked,
        c.candidates,
        list_transform(a.candidates, lambda ref: [ref]) as answers,
        'corrections/properties.csv' as answer_in,
        'property_ref_as_written,uprn_as_written,address_as_written,postcode_as_written,property_ref,who,on,why'
            as answer_heading,
        array_to_string(
            list_transform(asked, lambda cell: '"' || replace(cell, '"', '""') || '"'), ','
        ) || ',' || coalesce(a.candidates[1], 'none') || ',,,' as answer_line
    from asked as a
    inner join candidates as c on a.named_id = c.named_id
    union all
    select
        'heading' as kind,
        'What does this column hold? Now it is not used: ' || min(h.reason) as question,
        sum(s.n_rows)::integer as n_rows,
        concat_ws(', ', h.path, h.sheet, h.heading) as written,
        -- one answer holds for every table of a sheet
        [h.path, coalesce(h.sheet, ''), h.heading] as asked,
        []::varchar[] as candidates,
        []::varchar[][] as answers,
        'corrections/headings.csv' as answer_in,
        'path,sheet,heading,field,who,on,why' as answer_heading,
        array_to_string(
            list_transform(asked, lambda cell: '"' || replace(cell, '"', '""') || '"'), ','
        ) || ',none,,,' as answer_line
    from headings as h
    inner join heading_rows as t on h.table_id = t.table_id and t.kind in ('stock', 'registers', 'works', 'samples')
    inner join sizes as s on h.table_id = s.table_id
    where h.field is null and h.confidence = 0 and h.heading is not null
    group by h.path, h.sheet, h.heading
    union all
    select
        'term' as kind,
        'What does this word mean?' as question,
        u.n_rows,
        replace(u.field, '_', ' ') || ': ' || u.term as written,
        [u.field, u.term] as asked,
        u.nearest as candidates,
        list_transform(u.nearest, lambda term: [term]) as answers,
        'corrections/terms.csv' as answer_in,
        'field,written,term,who,on,why' as answer_heading,
        u.field || ',"' || replace(u.term, '"', '""') || '",,,,' as answer_line
    from unknown_terms as u
    where u.field <> 'work_type'
)

select *
from answers
order by n_rows desc, kind, written
