-- What stands on the map. One row per building: a house is its own, a block holds its homes and common parts.
with named as (
    select
        p.*,
        s.building_name
    from properties as p
    inner join stock_readings as s
        on p.path = s.path and p.sheet is not distinct from s.sheet and p.row_number = s.row_number
)

select
    building_ref,
    coalesce(min(building_name), min(address)) as name,
    min(area) as area,
    (count(*) filter (where part = 'home'))::integer as homes,
    count(*)::integer as properties,
    (sum(latitude::decimal(12, 7)) / count(latitude))::double as latitude,
    (sum(longitude::decimal(12, 7)) / count(longitude))::double as longitude
from named
group by building_ref
