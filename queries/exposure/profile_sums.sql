-- One row per profile, scope, dwelling and area. What a year of all kinds of work comes to for a profile that is
-- surely there and has no others of its kind beside it; numbered as the cell of work that it is.
-- Kept as a step.
with worked as (
    select
        e.profile_id,
        case when e.meets_one_room then 'room' else 'home' end as scope,
        r.dwelling,
        r.area,
        sum((r.point * e.touched * e.p_over_control_limit)::decimal(38, 15)) as exceedances,
        sum(
            (r.point * e.touched * coalesce(e.p_over_control_limit_controlled, e.p_over_control_limit))::decimal(38, 15)
        ) as controlled
    from exposure_profiles as e
    inner join rates as r on e.work_type = r.work_type
    group by e.profile_id, scope, r.dwelling, r.area
)

select
    (row_number() over (order by profile_id, scope, dwelling, area))::integer as cell_id,
    profile_id,
    scope,
    dwelling,
    area,
    exceedances,
    controlled
from worked
