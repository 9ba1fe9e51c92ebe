-- Items in the order in which to act. One row per item.
-- $top: how many
-- $area: only this management area, or null for all
select
    r.rank,
    r.item_id,
    p.address as name,
    p.property_ref,
    p.area,
    i.product,
    i.place,
    i.material_score,
    i.material_low,
    i.material_high,
    i.act_now,
    r.why
from item_ranking as r
inner join items as i on r.item_id = i.item_id
inner join properties as p on i.property_ref = p.property_ref
where $area is null or p.area = $area
order by r.rank
limit $top
