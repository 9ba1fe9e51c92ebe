-- The terms of every building's sum, numbered by what varies together. One row per term.
with cells as (
    select
        t.*,
        dense_rank() over (order by t.profile_id, t.scope, t.dwelling, t.area) - 1 as cell_id,
        dense_rank() over (order by t.presence_key) - 1 as presence_id
    from building_terms as t
)

select
    building_ref,
    cell_id,
    presence_id,
    (dense_rank() over (order by cell_id, presence_id) - 1)::integer as kind_id,
    share
from cells
order by building_ref, cell_id, presence_id
