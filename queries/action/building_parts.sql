-- What each kind of work adds to a building, by kind of material, known or possible. One row per building, contact
-- code, whether it is only possible, and number of a work type that is ever done.
-- Kept as a step.
select
    t.building_ref,
    w.contact_code,
    p.is_possible,
    w.work_id,
    sum((p.point * t.share * w.rate * w.touched * w.p_over_control_limit)::decimal(38, 15)) as exceedances
from building_terms as t
inner join presence_ranges as p on t.presence_id = p.presence_id
inner join cell_works as w on t.cell_id = w.cell_id
where w.rate > 0
group by t.building_ref, w.contact_code, p.is_possible, w.work_id
