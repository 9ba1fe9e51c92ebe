-- One row per building, cell of work, source of the chance of being there, and work type that adds anything. What each
-- kind of work adds to a building at each kind of material: exceedances a year.
-- Kept as a view.
select
    n.building_ref,
    e.contact_code,
    e.product,
    p.is_possible,
    e.work_type,
    t.share * p.point * r.point * e.touched * e.p_over_control_limit as exceedances
from building_terms as t
inner join building_numbers as n on t.building_id = n.building_id
inner join presence_draws as p on t.presence_id = p.presence_id
inner join exposure_profiles as e
    on cell_profile(t.cell_id) = e.profile_id and cell_is_room(t.cell_id) = e.meets_one_room
inner join rate_draws as r on e.work_type = r.work_type and cell_stratum(t.cell_id) = r.stratum_id
where exceedances > 0
