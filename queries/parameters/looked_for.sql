-- One row per property built before 2000 and contact code. How far a material was looked for: in every property
-- surveyed, but for what share of it stands in places that could not be entered.
with shut as (
    select
        property_ref,
        contact_code,
        sum(share::decimal(18, 12))::double as share
    from not_entered
    group by property_ref, contact_code
),

found as (
    select
        property_ref,
        contact_code,
        max(p_found) as p_found
    from item_presence
    where status <> 'not_detected'
    group by property_ref, contact_code
)

select
    d.property_ref,
    d.archetype,
    d.part,
    d.contact_code,
    d.share as default_share,
    d.uncertainty_factor,
    f.p_found,
    coalesce(s.is_surveyed, false) as is_surveyed,
    case when s.is_surveyed then 1 - coalesce(n.share, 0) else 0 end as looked_share
from property_defaults as d
left join surveyed_properties as s on d.property_ref = s.property_ref
left join shut as n on d.property_ref = n.property_ref and d.contact_code = n.contact_code
left join found as f on d.property_ref = f.property_ref and d.contact_code = f.contact_code
