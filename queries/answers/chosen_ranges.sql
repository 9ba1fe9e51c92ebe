-- One row per building that has any of it. The 90 % range of what a product, a kind of work or one half of what is
-- known adds up to in some buildings, and in words.
-- $buildings: which buildings
-- $product: only at this product, or null for all
-- $work_type: only by this kind of work, or null for all
-- $known: recorded or possible: which of the two counts; or null for both
with drawn as (
    select
        building_ref,
        draw,
        sum(expected::decimal(18, 12)) as expected,
        sum(exceedances::decimal(18, 12))::double as exceedances
    from term_draws
    where
        list_contains($buildings, building_ref)
        and ($product is null or product = $product)
        and ($work_type is null or work_type = $work_type)
        and ($known is null or is_possible = ($known = 'possible'))
    group by building_ref, draw
),

ranged as (
    select
        building_ref,
        max(expected)::double as expected,
        round(least(max(expected)::double, quantile_cont(exceedances, 0.05)), 12) as exceedances_low,
        round(greatest(max(expected)::double, quantile_cont(exceedances, 0.95)), 12) as exceedances_high
    from drawn
    group by building_ref
)

select
    building_ref,
    exceedances_low,
    exceedances_high,
    exceeded(expected, exceedances_low, exceedances_high, null) as exposure
from ranged
order by building_ref
