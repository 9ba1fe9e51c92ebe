-- How often each kind of work is done in each cell in use. One row per cell and work type.
select
    cell_id,
    profile_id,
    work_type,
    dwelling,
    case when is_local then area else '' end as area,
    rate as point,
    rate_low as low,
    rate_high as high,
    rate * touched * p_over_control_limit as exceedances
from cell_works
order by cell_id, work_type
