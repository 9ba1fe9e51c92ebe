-- The properties that a way of naming can mean, and which of them each field settles on. One row per way of naming,
-- field and property.
-- Kept as a step.
with candidates as (
    select
        named_id,
        property_ref,
        null as building_ref,
        field,
        method,
        priority,
        stands,
        case stands when 'never' then 0.5 else 1 - priority / 100 end as confidence,
        reason
    from reference_candidates
    union all
    select
        named_id,
        property_ref,
        building_ref,
        'address' as field,
        method,
        10 as priority,
        'always' as stands,
        confidence,
        reason
    from address_candidates
),

limits as (
    select
        max(value) filter (where name = 'address_confidence_least') as confidence_least,
        max(value) filter (where name = 'address_margin_least') as margin_least
    from reference.limits
),

ordered as (
    select
        c.*,
        row_number() over (
            partition by c.named_id, c.field
            order by c.confidence desc, c.method, c.property_ref, c.building_ref
        ) as nth,
        first_value(struct_pack(
            priority := c.priority,
            confidence := c.confidence,
            building_ref := case when c.method = 'address' then c.building_ref end
        )) over (
            partition by c.named_id, c.field
            order by c.confidence desc, c.method, c.property_ref, c.building_ref
        ) as best
    from candidates as c
),

rivals as (
    select
        o.*,
        case
            when o.nth = 1 then false
            when o.field <> 'address' then o.priority = o.best.priority
            -- a home whose address is its block's as well
            when o.method = 'building' and o.building_ref = o.best.building_ref then false
            else round(o.best.confidence - o.confidence, 9) < l.margin_least
        end as is_rival,
        o.stands <> 'never' and (o.field <> 'address' or o.confidence >= l.confidence_least) as is_enough
    from ordered as o
    cross join limits as l
)

select
    * exclude (best, is_rival, is_enough),
    nth = 1 and is_enough and property_ref is not null
    and not bool_or(is_rival) over (partition by named_id, field) as is_settled,
    bool_or(nth = 1 and is_enough) over (partition by named_id, field)
    and bool_or(is_rival) over (partition by named_id, field) as is_ambiguous
from rivals
