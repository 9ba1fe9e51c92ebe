-- The portfolio in numbers. One row per area asked for (all areas together where none is).
-- $area: only this management area, or null for all
with buildings_in as (
    select r.*
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
    where $area is null or b.area = $area
),

items_in as (
    select i.*
    from items as i
    inner join buildings_in as b on i.building_ref = b.building_ref
    where i.status <> 'not_detected'
)

select
    (
        select count(*)
        from buildings_in
    ) as buildings,
    (
        select count(*)
        from buildings_in
        where items_act_now > 0
    ) as buildings_act_now,
    (
        select coalesce(sum(properties), 0)::integer
        from buildings_in
    ) as properties,
    (
        select coalesce(sum(properties_surveyed), 0)::integer
        from buildings_in
    ) as properties_surveyed,
    count(*) as items,
    count(*) filter (where act_now) as items_act_now,
    count(*) filter (where material_band in ('medium', 'high')) as items_medium_or_high,
    count(*) filter (where material_low < material_high) as items_with_range
from items_in
