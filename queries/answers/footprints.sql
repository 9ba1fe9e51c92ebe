-- The ground that each building stands on, with its rank. One row per building with a footprint.
-- $area: only this management area, or null for all
select
    f.building_ref,
    f.outline
from footprints as f
inner join buildings as b on f.building_ref = b.building_ref
where $area is null or b.area = $area
order by f.building_ref
