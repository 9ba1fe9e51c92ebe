-- What each kind of work adds up to in a building, known and possible. One row per building and work type.
with gathered as (
    select
        building_ref,
        work_id,
        coalesce(sum(exceedances) filter (where not is_possible), 0)::double as exceedances_known,
        coalesce(sum(exceedances) filter (where is_possible), 0)::double as exceedances_possible
    from building_parts
    group by building_ref, work_id
),

works as (
    select distinct
        work_id,
        work_type
    from cell_works
)

select
    g.building_ref,
    w.work_type,
    g.exceedances_known,
    g.exceedances_possible
from gathered as g
inner join works as w on g.work_id = w.work_id
