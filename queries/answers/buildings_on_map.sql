-- Where the buildings stand and how they rank, the first on top. One row per building with coordinates.
-- $area: only this management area, or null for all
select
    b.building_ref,
    b.name,
    b.latitude,
    b.longitude,
    r.rank,
    r.worst_score,
    r.items_act_now,
    r.properties_surveyed
from buildings as b
inner join building_ranking as r on b.building_ref = r.building_ref
where b.latitude is not null and ($area is null or b.area = $area)
order by r.rank desc
