-- One row per property and contact code. What was never looked for: in properties without a survey, and behind doors
-- that nobody could open.
-- Kept as a view.
select
    l.property_ref,
    coalesce(l.not_entered_place, u.place) as place,
    k.product,
    l.contact_code,
    p.point as p_present,
    p.low as p_low,
    p.high as p_high,
    case when l.is_surveyed then 'place not entered; ' else 'never surveyed; ' end || p.basis as basis
from looked_for as l
inner join presence as p
    on l.archetype = p.archetype and l.part = p.part and l.contact_code = p.contact_code
inner join reference.contact_codes as k on l.contact_code = k.contact_code
inner join reference.usual_places as u on l.part = u.part and l.contact_code = u.contact_code
where not l.was_looked_for
