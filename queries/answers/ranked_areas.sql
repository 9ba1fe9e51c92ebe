-- Areas in the order in which to act. One row per area.
-- $top: how many
-- $by: score or exposure
select
    rank,
    rank_by_exposure,
    area as name,
    area || ', ' || homes || if(homes = 1, ' home', ' homes') as name_in_area,
    homes,
    properties,
    surveyed_share,
    items,
    items_act_now,
    exceedances_known,
    exceedances_possible,
    exceedances_low,
    exceedances_high,
    exceedances_controlled,
    exceedances_controlled_low,
    exceedances_controlled_high,
    rank_low,
    rank_high,
    rank_group,
    score_reason,
    exposure_reason,
    why
from area_ranking
order by case when $by = 'exposure' then rank_by_exposure else rank end
limit $top
