-- One row per profile and work type. What each kind of work does to each profile, before the statistics; what
-- occupants do themselves has no controlled form.
select
    p.profile_id,
    p.contact_code,
    p.product,
    l.work_type,
    l.task,
    l.minutes,
    l.contact,
    l.contact_factor,
    1 - (1 - l.contact) ** (p.reach_percent / 100.0) as touched,
    l.gm_f_per_ml
    * case when l.task = 'air_movement' then 1 when p.damage = 3 then 3 when p.damage = 2 then 1.5 else 1 end
    * case when l.task = 'air_movement' or not p.is_unsealed then 1 else 2 end as gm_f_per_ml,
    l.gsd,
    l.release_factor,
    l.is_allowed,
    l.controlled_task,
    case when w.done_by = 'trade' then l.controlled_gm_f_per_ml end
    * case when p.damage = 3 then 3 when p.damage = 2 then 1.5 else 1 end
    * case when p.is_unsealed then 2 else 1 end as controlled_gm_f_per_ml,
    l.controlled_gsd,
    l.controlled_factor,
    p.reach_percent,
    w.meets_one_room
from profiles as p
inner join worst_lines as l on p.contact_code = l.contact_code and p.product = l.product
inner join reference.work_types as w on l.work_type = w.work_type
where l.task <> 'air_movement' or p.damage >= 2
order by p.profile_id, l.work_type
