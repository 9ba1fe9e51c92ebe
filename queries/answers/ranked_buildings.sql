-- Buildings in the order in which to act. One row per building.
-- $top: how many
-- $area: only this management area, or null for all
select
    r.rank,
    r.building_ref,
    b.name,
    b.area,
    r.worst_score,
    r.items,
    r.items_act_now,
    r.properties,
    r.properties_surveyed,
    r.why
from building_ranking as r
inner join buildings as b on r.building_ref = b.building_ref
where $area is null or b.area = $area
order by r.rank
limit $top
