-- One row per property built before 2000 and contact code. Where a material was looked for, and where not: in every
-- property surveyed, but for the places that could not be entered.
with seen as (
    select
        property_ref,
        count(*) filter (where identification <> 'no_access') as n_seen
    from entries
    group by property_ref
),

not_entered as (
    select distinct
        e.property_ref,
        u.contact_code,
        u.place
    from entries as e
    inner join properties as p on e.property_ref = p.property_ref
    inner join reference.usual_places as u on p.part = u.part and e.place = u.place
    where e.identification = 'no_access'
),

found as (
    select
        property_ref,
        contact_code,
        max(p_present) as p_found
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
    coalesce(s.n_seen, 0) > 0 as is_surveyed,
    n.place as not_entered_place,
    coalesce(s.n_seen, 0) > 0 and (n.place is null or f.p_found is not null) as was_looked_for
from property_defaults as d
left join seen as s on d.property_ref = s.property_ref
left join not_entered as n on d.property_ref = n.property_ref and d.contact_code = n.contact_code
left join found as f on d.property_ref = f.property_ref and d.contact_code = f.contact_code
