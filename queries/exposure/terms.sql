-- The terms of every building's sum, the buildings numbered from 0 in the order of their references. One row per term.
with numbered as (
    select
        building_ref,
        (row_number() over (order by building_ref) - 1)::integer as building_number
    from building_exposures
)

select
    n.building_number,
    t.cell_id,
    t.presence_id,
    t.share
from building_terms as t
inner join numbered as n on t.building_ref = n.building_ref
order by n.building_number, t.cell_id, t.presence_id
