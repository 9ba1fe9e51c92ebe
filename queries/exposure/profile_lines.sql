-- One row per profile and work type. What each kind of work does to each profile, before the statistics; what
-- occupants do themselves has no controlled form. Damage and a bare surface raise the middle of a release, and what is
-- not known of them widens it; air that moves by itself knows its damage already.
with modified as (
    select
        p.profile_id,
        l.*,
        p.reach_percent,
        w.meets_one_room,
        w.done_by,
        case when l.task = 'air_movement' then 1 else coalesce(d.point, 1) * coalesce(s.point, 1) end as modifier,
        case
            when l.task = 'air_movement' then 0
            else (ln(coalesce(d.high / d.low, 1)) / 2) ** 2 + (ln(coalesce(s.high / s.low, 1)) / 2) ** 2
        end as widened
    from profiles as p
    inner join worst_lines as l on p.contact_code = l.contact_code and p.product = l.product
    inner join reference.work_types as w on l.work_type = w.work_type
    left join model_figures as d on 'release_damage_' || p.damage = d.name
    left join model_figures as s on 'release_sealing_' || p.sealing = s.name
    where l.task <> 'air_movement' or p.damage in ('2', '3')
)

select
    profile_id,
    contact_code,
    product,
    work_type,
    task,
    minutes,
    contact,
    contact_factor,
    1 - (1 - contact) ** (reach_percent / 100.0) as touched,
    gm_f_per_ml * modifier as gm_f_per_ml,
    gsd,
    exp(sqrt(ln(release_factor) ** 2 + widened)) as release_factor,
    is_allowed,
    controlled_task,
    case when done_by = 'trade' then controlled_gm_f_per_ml end * modifier as controlled_gm_f_per_ml,
    controlled_gsd,
    exp(sqrt(ln(controlled_factor) ** 2 + widened)) as controlled_factor,
    reach_percent,
    meets_one_room
from modified
order by profile_id, work_type
