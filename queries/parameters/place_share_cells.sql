-- One row per part, place and contact code. What share of such material in a property stands in a place.
select
    s.part,
    s.place,
    s.contact_code,
    coalesce(o.point, s.share)::double as share,
    if(o.point is null, 'default (J)', 'own') as basis
from reference.place_shares as s
left join own_parameters as o
    on
        o.reason_code is null
        and o.name = 'place share'
        and s.part = o.part
        and s.place = o.place
        and s.contact_code = o.contact_code
