-- The share of presumed materials that turn out to be asbestos. One row per contact code and era.
with eras as (
    select unnest(['built to 1985 or unknown', 'built 1986 to 1999', 'built from 2000']) as era
)

select
    c.contact_code,
    e.era,
    case e.era
        when 'built to 1985 or unknown' then coalesce(o.point, c.positive_share)
        when 'built 1986 to 1999'
            then coalesce(o.point, c.positive_share) * case when c.product = 'asbestos_cement' then 0.5 else 0.2 end
        else 0
    end as point,
    2.0::double as uncertainty_factor,
    case when o.point is not null then 'own' else 'default (J)' end as basis
from reference.contact_codes as c
cross join eras as e
left join own_parameters as o
    on o.reason_code is null and o.name = 'positive share' and c.contact_code = o.contact_code
