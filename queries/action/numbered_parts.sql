-- What each kind of work adds to a building at each kind of material, all by their numbers. One row per building,
-- material, whether it is only possible, and kind of work that adds anything.
select
    t.building_id,
    w.material_id,
    p.is_possible,
    w.work_id,
    sum((p.point * t.share * w.rate * w.touched * w.p_over_control_limit)::decimal(38, 15))::double as exceedances
from building_terms as t
inner join presence_ranges as p on t.presence_id = p.presence_id
inner join cell_works as w on t.cell_id = w.cell_id
where w.rate > 0
group by t.building_id, w.material_id, p.is_possible, w.work_id
having exceedances > 0
