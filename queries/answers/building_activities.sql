-- What each kind of work adds up to in a building, with its 90 % ranges, most first. One row per work type that meets
-- something there.
-- $building_ref: which building
with drawn as (
    select
        work_type,
        draw,
        sum(expected::decimal(18, 12)) as expected,
        sum(expected::decimal(18, 12)) filter (where is_possible) as expected_possible,
        sum(expected_controlled::decimal(18, 12)) as expected_controlled,
        sum(exceedances::decimal(18, 12))::double as exceedances,
        sum(exceedances_controlled::decimal(18, 12))::double as exceedances_controlled
    from term_draws
    where building_ref = $building_ref
    group by work_type, draw
),

ranged as (
    select
        work_type,
        max(expected)::double as exceedances,
        coalesce(max(expected_possible), 0)::double as exceedances_possible,
        max(expected_controlled)::double as exceedances_controlled,
        quantile_cont(exceedances, [0.05, 0.95]) as ends,
        quantile_cont(exceedances_controlled, [0.05, 0.95]) as controlled_ends
    from drawn
    group by work_type
    having max(expected) > 0
)

select
    w.in_words as work,
    w.done_by,
    r.work_type in (
        select work_type
        from reference.contacts
        where task = 'air_movement'
    ) as is_all_year,
    r.exceedances,
    least(greatest(round(r.ends[1], 12), 1e-12), r.exceedances) as exceedances_low,
    greatest(round(r.ends[2], 12), r.exceedances) as exceedances_high,
    r.exceedances - r.exceedances_possible as exceedances_known,
    r.exceedances_possible,
    r.exceedances_controlled,
    least(greatest(round(r.controlled_ends[1], 12), 1e-12), r.exceedances_controlled) as exceedances_controlled_low,
    greatest(round(r.controlled_ends[2], 12), r.exceedances_controlled) as exceedances_controlled_high
from ranged as r
inner join reference.work_types as w on r.work_type = w.work_type
order by r.exceedances desc, r.work_type
