-- The share of presumed materials that turn out to be asbestos. One row per contact code and era.
with shares as (
    select
        c.contact_code,
        e.era,
        case when c.product = 'asbestos_cement' then e.cement_factor else e.factor end as era_factor,
        coalesce(o.point, c.positive_share) as share,
        coalesce(o.low, share / m.positive_share_factor) as share_low,
        coalesce(o.high, share * m.positive_share_factor) as share_high,
        case when o.point is not null then 'own' else 'default (J)' end as basis
    from reference.contact_codes as c
    cross join reference.positive_share_eras as e
    cross join model as m
    left join own_parameters as o
        on o.reason_code is null and o.name = 'positive share' and c.contact_code = o.contact_code
)

select
    contact_code,
    era,
    era_factor * share as point,
    era_factor * share_low as low,
    least(1, era_factor * share_high) as high,
    basis
from shares
