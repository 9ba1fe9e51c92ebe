-- One row per work type, dwelling and area. How often each kind of work is done to a property: the landlord's own
-- figure, else what the job lists say, else the default.
with cells as (
    select distinct
        dwelling,
        area,
        stratum_id
    from property_cells
),

own as (
    select
        c.dwelling,
        c.area,
        o.work_type,
        o.point,
        o.low,
        o.high,
        o.n,
        row_number() over (
            partition by c.dwelling, c.area, o.work_type
            order by (o.area is null), (o.dwelling is null), o.path, o.sheet, o.row_number
        ) as nth
    from cells as c
    inner join own_parameters as o
        on
            o.reason_code is null
            and o.name = 'rate'
            and (o.dwelling is null or c.dwelling = o.dwelling)
            and (o.area is null or c.area = o.area)
)

select
    r.work_type,
    c.dwelling,
    c.area,
    c.stratum_id,
    coalesce(o.point, l.point, r.rate_per_year) as point,
    coalesce(
        o.low, case when o.point is not null then o.point / r.uncertainty_factor end, l.low,
        r.rate_per_year / r.uncertainty_factor
    ) as low,
    coalesce(
        o.high, case when o.point is not null then o.point * r.uncertainty_factor end, l.high,
        r.rate_per_year * r.uncertainty_factor
    ) as high,
    case when o.point is not null then o.n else l.n end as n,
    case
        when o.point is not null then 'own'
        when l.point is not null then 'learned from history'
        else 'default (J)'
    end as basis
from reference.rates as r
inner join cells as c on r.dwelling = c.dwelling
left join own as o on r.work_type = o.work_type and c.dwelling = o.dwelling and c.area = o.area and o.nth = 1
left join learned_rates as l on r.work_type = l.work_type and c.dwelling = l.dwelling and c.area = l.area
