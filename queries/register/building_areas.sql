-- One row per building: the management area that most of its properties are listed in, the first by name where as many
-- are in another; what is not stated counts for nothing beside what is.
-- Kept as a step.
with counted as (
    select
        building_ref,
        area,
        area <> 'area not stated' as is_stated,
        count(*) as properties
    from stock_properties
    group by building_ref, area
),

placed as (
    select
        building_ref,
        area,
        is_stated,
        properties,
        row_number() over (partition by building_ref order by is_stated desc, properties desc, area) as nth
    from counted
)

select
    building_ref,
    max(area) filter (where nth = 1) as area,
    string_agg(properties || ' in ' || area, ', ' order by nth) filter (where nth > 1 and is_stated) as other_areas
from placed
group by building_ref
