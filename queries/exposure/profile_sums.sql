-- One row per profile, scope and stratum. What a year of all kinds of work comes to for a profile that is surely there
-- and has no others of its kind beside it; numbered as the cell of work that it is.
-- Kept as a step.
with sums as (
    select
        e.profile_id,
        e.meets_one_room,
        r.stratum_id,
        sum((r.point * (e.touched * e.p_over_control_limit))::decimal(38, 15))::double as exceedances,
        sum(
            (
                r.point * (e.touched * coalesce(e.p_over_control_limit_controlled, e.p_over_control_limit))
            )::decimal(38, 15)
        )::double as controlled
    from exposure_profiles as e
    inner join rates as r on e.work_type = r.work_type
    group by e.profile_id, e.meets_one_room, r.stratum_id
)

select
    if(meets_one_room, 'room', 'home') as scope,
    work_cell(profile_id, scope, stratum_id) as cell_id,
    profile_id,
    stratum_id,
    exceedances,
    controlled
from sums
