-- The ten factors of the priority assessment (HSG227) for each item, each with the least and most that it can be.
-- What neither register, stock nor job list says comes from the usual value of the place, give or take one.
-- One row per item that may be asbestos and factor.
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
        item_id,
        unnest([
            {'factor': 'main_activity', 'said': null, 'usual': main_activity, 'is_fixed': false},
            {'factor': 'secondary_activity', 'said': null, 'usual': secondary_activity, 'is_fixed': false},
            {'factor': 'location', 'said': null, 'usual': location, 'is_fixed': true},
            {'factor': 'accessibility', 'said': reach_said, 'usual': accessibility, 'is_fixed': false},
            {'factor': 'extent', 'said': extent_said, 'usual': 1, 'is_fixed': false},
            {'factor': 'occupants', 'said': occupants_said, 'usual': occupants, 'is_fixed': false},
            {'factor': 'frequency', 'said': null, 'usual': frequency, 'is_fixed': false},
            {'factor': 'time', 'said': null, 'usual': time, 'is_fixed': false},
            {'factor': 'maintenance_type', 'said': null, 'usual': maintenance_type, 'is_fixed': false},
            {'factor': 'maintenance_frequency', 'said': maintenance_said, 'usual': maintenance_frequency, 'is_fixed': false}
        ], recursive := true)
    from known
)

select
    item_id,
    factor,
    coalesce(said, usual)::integer as score,
    (case when said is not null or is_fixed then coalesce(said, usual) else greatest(usual - 1, 0) end)::integer as low,
    (case when said is not null or is_fixed then coalesce(said, usual) else least(usual + 1, 3) end)::integer as high,
    said is null as is_assumed
from factors
