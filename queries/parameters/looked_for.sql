-- One row per property built before 2000 and contact code. Where a material was looked for, and where not: in every
-- property surveyed, but for the places that could not be entered then or at any later visit.
with shut as (
    select
        property_ref,
        place,
        max(coalesce(surveyed_on, '9999-12-31'::date)) as surveyed_on
    from entries
    where identification = 'no_access' and place is not null
    group by property_ref, place
),

shut_still as (
    select
        s.property_ref,
        s.place
    from shut as s
    where
        not exists (
            from entries as e
            where
                e.property_ref = s.property_ref
                and s.place in (e.place, 'whole_home')
                and e.identification <> 'no_access'
                and e.surveyed_on > s.surveyed_on
        )
),

not_entered as (
    select distinct
        s.property_ref,
        u.contact_code,
        u.place
    from shut_still as s
    inner join properties as p on s.property_ref = p.property_ref
    inner join reference.usual_places as u on p.part = u.part and s.place in (u.place, 'whole_home')
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
    n.place as not_entered_place,
    coalesce(s.is_surveyed, false) and n.place is null as was_looked_for
from property_defaults as d
left join surveyed_properties as s on d.property_ref = s.property_ref
left join not_entered as n on d.property_ref = n.property_ref and d.contact_code = n.contact_code
left join found as f on d.property_ref = f.property_ref and d.contact_code = f.contact_code
