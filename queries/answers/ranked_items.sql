-- Items in the order in which to act, each in the area of its building. One row per item.
-- $top: how many
-- $by: score or exposure
-- $area: only this management area, or null for all
select
    r.rank,
    r.rank_by_exposure,
    r.item_id,
    p.address as name,
    in_area(p.address, b.area) as name_in_area,
    p.property_ref,
    b.area,
    i.product,
    i.place,
    i.status,
    i.material_score,
    i.material_low,
    i.material_high,
    i.priority_score,
    i.total_score,
    r.total_low,
    r.total_high,
    i.act_now,
    r.exceedances,
    r.exceedances_controlled,
    r.why_short as score_reason,
    r.exposure_reason,
    r.why
from item_ranking as r
inner join items as i on r.item_id = i.item_id
inner join properties as p on i.property_ref = p.property_ref
inner join buildings as b on p.building_ref = b.building_ref
where $area is null or b.area = $area
order by case when $by = 'exposure' then r.rank_by_exposure else r.rank end
limit $top
