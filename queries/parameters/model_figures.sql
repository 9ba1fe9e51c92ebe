-- One row per single figure of the model. The landlord's own where there is one, with the default's range about it
-- where none is said.
select
    m.name,
    m.meaning,
    coalesce(o.point, m.point)::double as point,
    case when o.point is null then m.low else coalesce(o.low, o.point * m.low / m.point) end::double as low,
    case
        when o.point is null then m.high
        when m.high > 0 then coalesce(o.high, least(n.most, o.point * m.high / m.point))
    end::double as high,
    if(o.point is null, 'default (J)', 'own') as basis,
    if(o.point is null, m.source, 'own, from parameters/') as source
from reference.model_values as m
left join reference.parameter_names as n on m.name = n.name
left join own_parameters as o on o.reason_code is null and m.name = o.name
