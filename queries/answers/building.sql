-- A building and how it ranks. One row per building asked for.
-- $building_ref: which
select
    b.building_ref,
    b.name,
    b.area,
    b.area || coalesce(', as most of its homes and parts are listed; ' || b.other_areas, '') as area_in_words,
    b.homes,
    b.properties,
    r.properties_surveyed,
    r.items,
    r.items_act_now,
    r.rank,
    (
        select count(*)
        from buildings
    ) as buildings,
    r.score_reason,
    r.exposure_reason,
    remaining(r.exceedances_controlled, r.exceedances_controlled_low, r.exceedances_controlled_high)
        as controlled_in_words,
    r.rank_by_exposure,
    r.rank_low,
    r.rank_high
from buildings as b
inner join building_ranking as r on b.building_ref = r.building_ref
where b.building_ref = $building_ref
