-- The management areas, with an outline where there is one. One row per area.
with named as (
    select area
    from buildings
    union
    select area
    from areas
)

select
    n.area,
    a.outline
from named as n
left join areas as a on n.area = a.area
order by n.area
