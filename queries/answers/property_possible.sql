-- What was never looked for in a property and may be there, most likely first. One row per contact code and place.
-- $property_ref: which property
select
    k.in_words,
    coalesce(l.in_words, replace(p.place, '_', ' ')) as place_in_words,
    p.p_present,
    p.p_low,
    p.p_high,
    e.exceedances,
    e.exceedances_low,
    e.exceedances_high,
    p.basis
from possible_items as p
inner join reference.contact_codes as k on p.contact_code = k.contact_code
inner join possible_exposures as e
    on p.property_ref = e.property_ref and p.contact_code = e.contact_code and p.place = e.place
left join reference.places as l on p.place = l.place
where p.property_ref = $property_ref
order by p.p_present desc, p.contact_code, p.place
