-- What stands on the map. One row per building: a house is its own, a block holds its homes and common parts. Its area
-- is that of most of them.
with named as (
    select
        p.*,
        s.building_name
    from properties as p
    inner join stock_readings as s
        on p.path = s.path and p.sheet is not distinct from s.sheet and p.row_number = s.row_number
)

select
    n.building_ref,
    coalesce(min(n.building_name), min(n.address)) as name,
    a.area,
    a.other_areas,
    (count(*) filter (where n.part = 'home'))::integer as homes,
    count(*)::integer as properties,
    (sum(n.latitude::decimal(12, 7)) / count(n.latitude))::double as latitude,
    (sum(n.longitude::decimal(12, 7)) / count(n.longitude))::double as longitude
from named as n
inner join building_areas as a on n.building_ref = a.building_ref
group by n.building_ref, a.area, a.other_areas
