-- What each kind of work adds up to in a building, known and possible. One row per building and work type.
-- Kept as a view.
select
    building_ref,
    work_type,
    coalesce(sum(exceedances::decimal(38, 15)) filter (where not is_possible), 0)::double as exceedances_known,
    coalesce(sum(exceedances::decimal(38, 15)) filter (where is_possible), 0)::double as exceedances_possible
from building_parts
group by building_ref, work_type
