-- The kinds of work on each profile, dwelling and area in use. One row per numbered cell and work type.
with cells as (
    select
        profile_id,
        scope,
        dwelling,
        area,
        (row_number() over (order by profile_id, scope, dwelling, area) - 1)::integer as cell_id
    from (
        select distinct
            profile_id,
            scope,
            dwelling,
            area
        from building_terms
    ) as distinct_cells
)

select
    c.cell_id,
    c.profile_id,
    c.dwelling,
    c.area,
    e.work_type,
    r.point,
    r.low,
    r.high,
    r.basis <> 'default (J)' as is_local
from cells as c
inner join exposure_profiles as e
    on c.profile_id = e.profile_id and c.scope = case when e.meets_one_room then 'room' else 'home' end
inner join rates as r on e.work_type = r.work_type and c.dwelling = r.dwelling and c.area = r.area
order by c.cell_id, e.work_type
