-- The properties that a reference or UPRN can mean. One row per way of naming, field and property, with the surest
-- reason.
-- Kept as a step.
with stock as (
    select
        p.property_ref,
        k.* exclude (written, uprn, rounded_from, rounded_to)
    from stock_properties as p
    inner join reference_keys as k on p.property_ref = k.written
),

blocks as (
    select
        b.property_ref,
        b.building_ref,
        k.* exclude (written, uprn, rounded_from, rounded_to)
    from block_parts as b
    inner join reference_keys as k on b.building_ref = k.written
),

written as (
    select
        n.named_id,
        n.room_flat,
        'property_ref' as field,
        k.*
    from named_properties as n
    inner join reference_keys as k on n.property_ref = k.written
    union all
    select
        n.named_id,
        n.room_flat,
        'uprn' as field,
        k.*
    from named_properties as n
    inner join reference_keys as k on n.uprn = k.written
),

-- A column of homes may hold addresses in one part of a list and UPRNs in another.
for_addresses as (
    select
        n.named_id,
        k.uprn
    from named_properties as n
    inner join reference_keys as k on n.address = k.written
    where k.uprn >= 100000000
),

numbers as (
    select
        property_ref,
        try_cast(zeros as bigint) as number
    from stock
    union all
    select
        property_ref,
        uprn as number
    from stock_properties
),

within_range as (
    select
        r.rounded_from,
        r.rounded_to,
        list(distinct n.property_ref order by n.property_ref) as properties
    from (
        select distinct
            rounded_from,
            rounded_to
        from written
        where rounded_from is not null
    ) as r
    inner join numbers as n on n.number between r.rounded_from and r.rounded_to
    group by r.rounded_from, r.rounded_to
    having count(distinct n.property_ref) <= (
        select value
        from reference.limits
        where name = 'candidates_most'
    )
),

pairs as (
    select
        w.named_id,
        s.property_ref,
        w.field || case when w.written = s.property_ref and w.field = 'property_ref' then ' exact' else ' same' end
            as likeness
    from written as w
    inner join stock as s on w.same = s.same
    union all
    select
        w.named_id,
        s.property_ref,
        w.field || ' marks' as likeness
    from written as w
    inner join stock as s on w.marks = s.marks
    union all
    select
        w.named_id,
        s.property_ref,
        w.field || ' zeros' as likeness
    from written as w
    inner join stock as s on w.zeros = s.zeros
    union all
    select
        w.named_id,
        s.property_ref,
        'property_ref prefix' as likeness
    from written as w
    inner join stock as s on w.bare = s.bare and w.has_prefix <> s.has_prefix
    where w.field = 'property_ref'
    union all
    select
        w.named_id,
        s.property_ref,
        'property_ref letters' as likeness
    from written as w
    inner join stock as s on w.alike = s.alike and w.marks <> s.marks
    where w.field = 'property_ref'
    union all
    select
        w.named_id,
        b.property_ref,
        w.field || ' building' as likeness
    from written as w
    inner join blocks as b on w.zeros = b.zeros
    where w.room_flat is null
    union all
    select
        w.named_id,
        p.property_ref,
        w.field || ' building' as likeness
    from written as w
    inner join blocks as b on w.zeros = b.zeros
    inner join stock_properties as p on b.building_ref = p.building_ref
    inner join stock_claims as c on p.address = c.address and p.postcode is not distinct from c.postcode
    where w.room_flat = split_part(c.unit, ' of ', 1) and c.likeness = 'name'
    union all
    select
        w.named_id,
        p.property_ref,
        w.field || case when w.uprn < 100000000 then ' short digits' else ' digits' end as likeness
    from written as w
    inner join stock_properties as p on w.uprn = p.uprn
    union all
    select
        w.named_id,
        p.property_ref,
        'address digits' as likeness
    from for_addresses as w
    inner join stock_properties as p on w.uprn = p.uprn
    union all
    select
        w.named_id,
        unnest(r.properties) as property_ref,
        w.field || ' rounded' as likeness
    from written as w
    inner join within_range as r on w.rounded_from = r.rounded_from and w.rounded_to = r.rounded_to
)

select
    p.named_id,
    r.field,
    p.property_ref,
    min_by(r.method, r.priority) as method,
    min(r.priority) as priority,
    min_by(r.stands, r.priority) as stands,
    min_by(r.reason, r.priority) as reason
from pairs as p
inner join reference.reference_likeness as r on p.likeness = r.likeness
group by p.named_id, r.field, p.property_ref
