-- Expected exceedances a year in each building, known and possible. One row per building.
-- Kept as a step.
with known as (
    select
        building_ref,
        sum(exceedances::decimal(38, 15)) as exceedances,
        sum(exceedances_controlled::decimal(38, 15)) as controlled
    from item_sums
    group by building_ref
),

-- Many more rows than properties, so these are summed before buildings are looked up.
possible_in_properties as (
    select
        property_ref,
        sum(exceedances::decimal(38, 15)) as exceedances,
        sum(exceedances_controlled::decimal(38, 15)) as controlled
    from possible_sums
    group by property_ref
),

possible as (
    select
        c.building_ref,
        sum(e.exceedances) as exceedances,
        sum(e.controlled) as controlled
    from possible_in_properties as e
    inner join property_cells as c on e.property_ref = c.property_ref
    group by c.building_ref
)

select
    b.building_ref,
    b.area,
    coalesce(k.exceedances, 0)::double as exceedances_known,
    coalesce(p.exceedances, 0)::double as exceedances_possible,
    (coalesce(k.controlled, 0) + coalesce(p.controlled, 0))::double as exceedances_controlled,
    round((coalesce(k.exceedances, 0) + coalesce(p.exceedances, 0))::double, 12) as exceedances
from buildings as b
left join known as k on b.building_ref = k.building_ref
left join possible as p on b.building_ref = p.building_ref
