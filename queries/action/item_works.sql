-- The work that adds the most to each profile. One row per profile, dwelling and area in use.
-- Kept as a step.
with worked as (
    select
        e.profile_id,
        r.dwelling,
        r.area,
        e.work_type,
        r.point * e.touched * e.p_over_control_limit as exceedances
    from exposure_profiles as e
    inner join rates as r on e.work_type = r.work_type
)

select
    profile_id,
    dwelling,
    area,
    arg_max(work_type, (exceedances, work_type)) as work_type
from worked
where exceedances > 0
group by profile_id, dwelling, area
