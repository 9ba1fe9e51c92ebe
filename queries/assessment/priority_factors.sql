-- One row per item that may be asbestos and factor. The ten factors of the priority assessment (HSG227) for each item,
-- each with the least and most that it can be. What neither register, stock nor job list says comes from the usual
-- value of the place, give or take one.
with known as (
    select
        c.item_id,
        l.*,
        c.accessibility as reach_said,
        case
            when c.extent_unit = 'nr' then 0
            when c.extent_unit not in ('m', 'm2') or c.extent is null then null
            when c.extent <= 10 then 1
            when c.extent <= 50 then 2
            else 3
        end as extent_said,
        case
            when p.part <> 'home' or p.occupants is null then null
            when p.occupants = 0 then 0
            when p.occupants <= 3 then 1
            when p.occupants <= 10 then 2
            else 3
        end as occupants_said,
        case
            when m.jobs_per_year > 12 then 3
            when m.jobs_per_year > 1 then 2
            when m.jobs_per_year > 0 then 1
        end as maintenance_said
    from item_conditions as c
    inner join properties as p on c.property_ref = p.property_ref
    inner join reference.places as l on coalesce(c.place, 'other') = l.place
    left join maintenance_counts as m on c.property_ref = m.property_ref
    where c.is_suspect
),

factors as (
    select
        k.item_id,
        f.factor,
        f.factor = 'location' as is_fixed,
        case f.factor
            when 'accessibility' then k.reach_said
            when 'extent' then k.extent_said
            when 'occupants' then k.occupants_said
            when 'maintenance_frequency' then k.maintenance_said
        end as said,
        case f.factor
            when 'main_activity' then k.main_activity
            when 'secondary_activity' then k.secondary_activity
            when 'location' then k.location
            when 'accessibility' then k.accessibility
            when 'extent' then 1
            when 'occupants' then k.occupants
            when 'frequency' then k.frequency
            when 'time' then k.time
            when 'maintenance_type' then k.maintenance_type
            when 'maintenance_frequency' then k.maintenance_frequency
        end as usual
    from known as k
    cross join reference.priority_factors as f
)

select
    item_id,
    factor,
    coalesce(said, usual)::integer as score,
    (case when said is not null or is_fixed then coalesce(said, usual) else greatest(usual - 1, 0) end)::integer as low,
    (case when said is not null or is_fixed then coalesce(said, usual) else least(usual + 1, 3) end)::integer as high,
    said is null as is_assumed
from factors
