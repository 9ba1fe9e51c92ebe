-- The terms of every building's sum, numbered by what varies together. One row per term.
with cells as (
    select
        profile_id,
        scope,
        dwelling,
        area,
        row_number() over (order by profile_id, scope, dwelling, area) - 1 as cell_id
    from (
        select distinct
            profile_id,
            scope,
            dwelling,
            area
        from building_terms
    ) as distinct_cells
),

presences as (
    select
        presence_key,
        row_number() over (order by presence_key) - 1 as presence_id
    from (
        select distinct presence_key
        from building_terms
    ) as distinct_presences
),

numbered as (
    select
        t.building_ref,
        c.cell_id,
        p.presence_id,
        t.share
    from building_terms as t
    inner join cells as c
        on t.profile_id = c.profile_id and t.scope = c.scope and t.dwelling = c.dwelling and t.area = c.area
    inner join presences as p on t.presence_key = p.presence_key
),

kinds as (
    select
        cell_id,
        presence_id,
        (row_number() over (order by cell_id, presence_id) - 1)::integer as kind_id
    from (
        select distinct
            cell_id,
            presence_id
        from numbered
    ) as distinct_kinds
)

select
    n.building_ref,
    n.cell_id,
    n.presence_id,
    k.kind_id,
    n.share
from numbered as n
inner join kinds as k on n.cell_id = k.cell_id and n.presence_id = k.presence_id
order by n.building_ref, n.cell_id, n.presence_id
