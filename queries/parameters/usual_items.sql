-- What reach and extent of a material are usual, by which contact is scaled. One row per contact code. Extents are of
-- all of it in a property, and of what stands in one room.
select
    c.contact_code,
    coalesce(r.point, c.usual_reach)::double as usual_reach,
    coalesce(e.point, c.usual_extent)::double as usual_extent,
    coalesce(o.point, c.usual_room_extent)::double as usual_room_extent,
    c.usual_extent_unit,
    if(r.point is null, 'default (J)', 'own') as reach_basis,
    if(e.point is null, 'default (J)', 'own') as extent_basis,
    if(o.point is null, 'default (J)', 'own') as room_extent_basis
from reference.contact_codes as c
left join own_parameters as r
    on r.reason_code is null and r.name = 'usual reach' and c.contact_code = r.contact_code
left join own_parameters as e
    on e.reason_code is null and e.name = 'usual extent' and c.contact_code = e.contact_code
left join own_parameters as o
    on o.reason_code is null and o.name = 'usual room extent' and c.contact_code = o.contact_code
