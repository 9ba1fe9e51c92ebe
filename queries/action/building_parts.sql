-- One row per building, contact code, product, whether it is only possible, and work type that adds anything. What each
-- kind of work adds to a building at each kind of material.
with gathered as (
    select
        t.building_ref,
        w.contact_code,
        w.product,
        p.is_possible,
        w.work_id,
        sum((p.point * t.share * w.rate * w.touched * w.p_over_control_limit)::decimal(38, 15)) as exceedances
    from building_terms as t
    inner join presence_ranges as p on t.presence_id = p.presence_id
    inner join cell_works as w on t.cell_id = w.cell_id
    where w.rate > 0
    group by t.building_ref, w.contact_code, w.product, p.is_possible, w.work_id
),

works as (
    select distinct
        work_id,
        work_type
    from cell_works
)

select
    g.building_ref,
    g.contact_code,
    g.product,
    g.is_possible,
    w.work_type,
    g.exceedances::double as exceedances
from gathered as g
inner join works as w on g.work_id = w.work_id
where g.exceedances > 0
order by g.building_ref, g.contact_code, g.product, g.is_possible, w.work_type
