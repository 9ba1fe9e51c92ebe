-- Expected exceedances of each building. One row per building.
select
    building_ref,
    area,
    exceedances,
    exceedances_controlled
from building_exposures
order by building_ref
