-- Fibres in the air while a task is done to a product: lognormal, f/ml. One row per product, task and control.
select
    r.product,
    r.task,
    r.control,
    coalesce(o.point, r.gm_f_per_ml)::double as gm_f_per_ml,
    r.gsd::double as gsd,
    case when o.low > 0 then sqrt(o.high / o.low) else r.gm_uncertainty_factor end::double as uncertainty_factor,
    r.is_allowed,
    r.in_words,
    case when o.point is not null then 'own' else 'default (' || r.status || ')' end as basis
from reference.release as r
left join own_parameters as o
    on
        o.reason_code is null
        and o.name = 'release'
        and r.product = o.product
        and r.task = o.task
        and r.control = o.control
