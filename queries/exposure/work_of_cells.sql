-- What each kind of work comes to in each cell in use, and which draws it is of. One row per cell and work type.
select
    cell_id,
    stratum_id,
    touch_id,
    release_id,
    work_type,
    contact_code,
    rate * touched * p_over_control_limit as exceedances,
    rate * touched * coalesce(p_over_control_limit_controlled, p_over_control_limit) as exceedances_controlled
from cell_works
order by cell_id, work_type
