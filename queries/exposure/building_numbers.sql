-- One row per building, with a number in the order of their references: millions of terms are gathered by it.
select
    building_ref,
    (row_number() over (order by building_ref))::integer as building_id
from buildings
