-- One row per item that may be asbestos and factor. The ten factors of the priority assessment (HSG227) for each item,
-- each with the least and most that it can be. What neither register, stock nor job list says comes from the usual
-- value of the place, give or take one.
with said as (
    select
        c.item_id,
        c.place,
        c.accessibility as reach_said,
        c.extent_unit = 'nr' as is_pieces,
        case when c.extent_unit in ('m', 'm2') then c.extent end as extent,
        case when p.part = 'home' then p.occupants end as occupants,
        m.jobs_per_year
    from item_conditions as c
    inner join properties as p on c.property_ref = p.property_ref
    left join maintenance_counts as m on c.property_ref = m.property_ref
    where c.is_suspect
),

of_extent as (
    from reference.factor_scores
    where factor = 'extent'
),

of_occupants as (
    from reference.factor_scores
    where factor = 'occupants'
),

of_maintenance as (
    from reference.factor_scores
    where factor = 'maintenance_frequency'
),

known as (
    select
        s.item_id,
        l.*,
        s.place is not null as is_place_known,
        s.reach_said,
        case when s.is_pieces then 0 else e.score end as extent_said,
        o.score as occupants_said,
        m.score as maintenance_said
    from said as s
    inner join reference.places as l on coalesce(s.place, 'other') = l.place
    asof left join of_extent as e on s.extent > e.above
    asof left join of_occupants as o on s.occupants > o.above
    asof left join of_maintenance as m on s.jobs_per_year > m.above
),

factors as (
    select
        k.item_id,
        f.factor,
        f.factor = 'location' and k.is_place_known as is_fixed,
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
    said is null and not is_fixed as is_assumed
from factors
