-- The roads drawn under the buildings. One row per road.
select
    road,
    outline
from roads
order by road
