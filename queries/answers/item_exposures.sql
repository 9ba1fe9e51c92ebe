-- One row per work type. How likely each kind of work leads to exposure at an item, most first, with everything that
-- each figure is worked out from: touched = 1 - (1 - contact) ^ (reach and extent / 100), encounters = rate x touched x
-- share, exceedances = encounters x chance of being there x chance over the limit. Air that moves in a place in use is
-- no event: it is counted once a year.
-- $item_id: which item
-- $property_ref: its property, by which items are kept
select
    w.in_words as work,
    w.done_by,
    t.in_words as task,
    e.task = 'air_movement' as is_all_year,
    e.*,
    c.contact,
    c.contact / c.uncertainty_factor as contact_low,
    least(1, c.contact * c.uncertainty_factor) as contact_high,
    c.basis as contact_basis,
    c.minutes_basis,
    q.reach_percent,
    u.usual_reach,
    u.usual_extent,
    u.usual_room_extent,
    u.usual_extent_unit,
    u.reach_basis,
    u.extent_basis,
    u.room_extent_basis,
    if('own' in (m.basis, n.basis), 'own', 'default (J)') as state_basis,
    t.gm_f_per_ml as usual_gm_f_per_ml,
    exp(e.ln_gm) as gm_f_per_ml,
    exp(e.s) as gsd,
    exp(1.645 * e.tau) as uncertainty_factor,
    t.basis as release_basis,
    d.source as release_source
from exposures as e
inner join reference.work_types as w on e.work_type = w.work_type
inner join profiles as q on e.profile_id = q.profile_id
inner join usual_items as u on e.contact_code = u.contact_code
left join model_figures as m on 'release_damage_' || q.damage = m.name
left join model_figures as n on 'release_sealing_' || q.sealing = n.name
inner join contact_cells as c on e.work_type = c.work_type and e.contact_code = c.contact_code and e.task = c.task
inner join release_cells as t on e.product = t.product and e.task = t.task and t.control = 'uncontrolled'
inner join reference.release as d on t.product = d.product and t.task = d.task and t.control = d.control
where e.property_ref = $property_ref and e.item_id = $item_id
order by e.exceedances_per_year desc, e.work_type
