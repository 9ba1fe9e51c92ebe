-- One row per building, cell of work, source of the chance of being there, and kind of work that adds anything. What
-- each kind of work adds to a building at each kind of material, all by their numbers: terms not yet gathered, as few
-- of them fall together.
select
    t.building_id,
    w.material_id,
    p.is_possible,
    w.work_id,
    p.point * t.share * w.rate * w.touched * w.p_over_control_limit as exceedances
from building_terms as t
inner join presence_ranges as p on t.presence_id = p.presence_id
inner join cell_works as w on t.cell_id = w.cell_id
where exceedances > 0
