-- One row per property, contact code and place. What was never looked for: in properties without a survey, and in
-- places that nobody could enter, as far as such material stands in them.
-- Kept as a view.
with unseen as (
    select
        l.archetype,
        l.part,
        l.property_ref,
        l.contact_code,
        coalesce(n.place, u.place) as place,
        coalesce(n.share, 1) as share,
        case
            when l.is_surveyed
                then
                    'place not entered, where ' || greatest(round(100 * n.share), 1)::integer
                    || ' % of such material stands (' || n.basis || '); '
            else 'never surveyed; '
        end as why
    from looked_for as l
    left join reference.usual_places as u
        on not l.is_surveyed and l.part = u.part and l.contact_code = u.contact_code
    left join not_entered as n
        on l.is_surveyed and l.property_ref = n.property_ref and l.contact_code = n.contact_code
    where n.place is not null or u.place is not null
)

select
    o.property_ref,
    o.place,
    k.product,
    o.contact_code,
    o.share,
    p.point * o.share as p_present,
    p.low * o.share as p_low,
    p.high * o.share as p_high,
    o.why || p.basis as basis
from unseen as o
inner join presence as p
    on o.archetype = p.archetype and o.part = p.part and o.contact_code = p.contact_code
inner join reference.contact_codes as k on o.contact_code = k.contact_code
