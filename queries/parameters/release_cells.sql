-- One row per product, task and control. Fibres in the air while a task is done to a product: lognormal, f/ml. The
-- landlord's own middle replaces the default; own air measurements (ln C ~ N(mu, s^2)) move it and narrow it: 1/tau'^2
-- = 1/tau^2 + n/s^2 and mu' = tau'^2 (ln GM / tau^2 + n mean(ln C) / s^2), with s from the measurements where there
-- are enough (EN 689:2018).
with measured as (
    select
        product,
        task,
        control,
        count(*) as n,
        (sum(ln(point)::decimal(18, 12)) / count(*))::double as mean_ln,
        (sum((ln(point) ** 2)::decimal(18, 12)) / count(*))::double as mean_square
    from own_parameters
    where reason_code is null and name = 'measurement'
    group by product, task, control
),

before as (
    select
        r.product,
        r.task,
        r.control,
        coalesce(o.point, r.gm_f_per_ml)::double as gm_f_per_ml,
        ln(case when o.low > 0 then sqrt(o.high / o.low) else r.gm_uncertainty_factor end) / 1.645 as tau,
        case
            when m.n >= d.measurements_for_spread
                then greatest(sqrt(greatest((m.mean_square - m.mean_ln ** 2) * m.n / (m.n - 1), 0)), l.value)
            else ln(r.gsd)
        end as s,
        m.n,
        m.mean_ln,
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
    left join measured as m on r.product = m.product and r.task = m.task and r.control = m.control
    cross join model as d
    inner join reference.limits as l on l.name = 'measured_spread_least'
),

moved as (
    select
        *,
        sqrt(1 / (1 / tau ** 2 + n / s ** 2)) as tau_after
    from before
)

select
    product,
    task,
    control,
    round(
        case
            when n is null then gm_f_per_ml
            else exp(tau_after ** 2 * (ln(gm_f_per_ml) / tau ** 2 + n * mean_ln / s ** 2))
        end, 12
    ) as gm_f_per_ml,
    round(exp(s), 12) as gsd,
    round(exp(1.645 * coalesce(tau_after, tau)), 12) as uncertainty_factor,
    is_allowed,
    in_words,
    case when n is null then basis else basis || ', moved by ' || n || ' own measurements' end as basis
from moved
