-- One row per way in which a register or job list names a property. Which property a row means: what a person said,
-- else by reference, UPRN or address, whichever is surest.
-- Kept as a step.
with near as (
    select
        named_id,
        property_ref
    from property_candidates
    where
        field = 'address'
        and confidence >= (
            select value
            from reference.limits
            where name = 'address_asked_least'
        )
    group by named_id, property_ref
),

settled as (
    select
        n.named_id,
        c.field,
        c.property_ref,
        c.building_ref,
        c.method,
        c.priority,
        c.confidence,
        c.reason,
        -- a reference without its prefix stands alone, and beside an address that may be the same property's
        c.stands = 'always' or (c.stands = 'alone' and (n.address is null or a.property_ref is not null)) as stands
    from named_properties as n
    inner join property_candidates as c on n.named_id = c.named_id
    left join near as a on c.named_id = a.named_id and c.property_ref = a.property_ref
    where c.is_settled
),

-- Properties that some line names by a reference and an address that agree.
agreed as (
    select distinct r.property_ref
    from settled as r
    inner join named_properties as n on r.named_id = n.named_id
    left join settled as a on r.named_id = a.named_id and a.field = 'address' and r.property_ref = a.property_ref
    where
        r.field = 'property_ref'
        and n.address is not null
        and (n.address_read is null or a.property_ref is not null)
),

-- A reference beside an address of another property is a slip of the pen, where other lines name that property by both
-- and none so names the one of the reference.
slips as (
    select distinct r.named_id
    from settled as r
    inner join settled as a on r.named_id = a.named_id and a.field = 'address' and r.property_ref <> a.property_ref
    where
        r.field = 'property_ref'
        and a.stands
        and a.method = 'address'
        and a.property_ref in (select g.property_ref from agreed as g)
        and r.property_ref not in (select g.property_ref from agreed as g)
),

surest as (
    select
        named_id,
        min_by(
            struct_pack(
                property_ref := property_ref,
                building_ref := building_ref,
                method := method,
                confidence := confidence,
                reason := reason
            ), priority
        ) as chosen
    from settled
    where stands and not (field = 'property_ref' and named_id in (select s.named_id from slips as s))
    group by named_id
),

likely as (
    select
        named_id,
        property_ref,
        bool_or(is_ambiguous) as is_ambiguous,
        max(confidence) as confidence
    from property_candidates
    where
        confidence >= (
            select value
            from reference.limits
            where name = 'address_asked_least'
        )
    group by named_id, property_ref
),

told as (
    select
        named_id,
        bool_or(is_ambiguous) as is_ambiguous,
        list(property_ref order by confidence desc, property_ref) as candidates
    from likely
    where property_ref is not null
    group by named_id
),

contradicted as (
    select
        s.named_id,
        bool_or(
            c.property_ref <> s.chosen.property_ref
            and (c.method <> 'building' or c.building_ref is distinct from p.building_ref)
        ) as is_contradicted,
        bool_or(c.field = 'property_ref') as is_reference_known
    from surest as s
    inner join settled as c on s.named_id = c.named_id
    left join stock_properties as p on s.chosen.property_ref = p.property_ref
    group by s.named_id
),

together as (
    select
        n.*,
        a.property_ref as answer,
        a.named_id is not null as is_answered,
        s.chosen,
        coalesce(c.is_contradicted, false) or (n.property_ref is not null and not c.is_reference_known) as disagrees,
        coalesce(t.is_ambiguous, false) as is_ambiguous,
        t.candidates
    from named_properties as n
    left join property_answers as a on n.named_id = a.named_id
    left join surest as s on n.named_id = s.named_id
    left join contradicted as c on n.named_id = c.named_id
    left join told as t on n.named_id = t.named_id
)

select
    named_id,
    property_ref,
    uprn,
    address,
    postcode,
    room_flat,
    case when is_answered then answer else chosen.property_ref end as found,
    case when is_answered then 'correction' else chosen.method end as match_method,
    case when is_answered then 'a person said so' else chosen.reason end as match_reason,
    case when is_answered then 1 else chosen.confidence end as confidence,
    not is_answered and coalesce(chosen.property_ref is not null and disagrees, false) as is_contradicted,
    case
        when is_answered and answer is null then 'not_ours'
        when is_answered or chosen.property_ref is not null then null
        when is_ambiguous then 'ambiguous_property'
        when candidates is not null then 'near_property'
        else 'unknown_property'
    end as unmatched_code,
    candidates[:(
        select value::integer
        from reference.limits
        where name = 'candidates_most'
    )] as candidates
from together
