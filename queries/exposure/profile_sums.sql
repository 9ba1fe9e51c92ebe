-- One row per profile, scope and stratum. What a year of all kinds of work comes to for a profile that is surely there
-- and has no others of its kind beside it; numbered as the cell of work that it is.
-- Kept as a step.
with done as (
    select
        profile_id,
        work_type,
        if(meets_one_room, 'room', 'home') as scope,
        touched * p_over_control_limit as exceedances,
        touched * coalesce(p_over_control_limit_controlled, p_over_control_limit) as controlled
    from exposure_profiles
)

select
    work_cell(d.profile_id, d.scope, r.stratum_id) as cell_id,
    min(d.profile_id) as profile_id,
    min(d.scope) as scope,
    min(r.stratum_id) as stratum_id,
    sum((r.point * d.exceedances)::decimal(38, 15))::double as exceedances,
    sum((r.point * d.controlled)::decimal(38, 15))::double as controlled
from done as d
inner join rates as r on d.work_type = r.work_type
group by cell_id
