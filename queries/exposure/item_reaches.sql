-- One row per item and scope (home, room). What of an item decides how it releases fibres when touched, and its share
-- of the work that meets its kind: once among all of its code in the property, once among those in its room.
-- Kept as a step.
with usable as (
    select
        i.item_id,
        i.property_ref,
        i.contact_code,
        i.room_key,
        i.product,
        i.status,
        i.extent,
        i.extent_unit,
        case
            when i.status = 'not_detected' then '0'
            when i.damage_score is null then 'unknown'
            when i.damage_score < 2 then '0'
            else i.damage_score::varchar
        end as damage,
        case
            when i.product not in ('insulating_board', 'millboard', 'thermal_insulation', 'other') then 'sealed'
            when i.status = 'not_detected' then 'sealed'
            when i.surface_treatment_score is null then 'unknown'
            when i.surface_treatment_score >= 2 and i.surface_treatment_score = s.surface_high then 'unsealed'
            else 'sealed'
        end as sealing,
        k.usual_extent,
        k.usual_room_extent,
        k.usual_extent_unit,
        m.reach_step ** (coalesce(i.accessibility, k.usual_reach) - k.usual_reach) as access_factor,
        m.reach_least,
        m.reach_most
    from items as i
    inner join usual_items as k on i.contact_code = k.contact_code
    cross join model as m
    left join surface_ranges as s on i.product = s.product
),

grouped as (
    select
        u.*,
        s.scope,
        count(*) over g as n_items,
        count(*) filter (where u.extent > 0 and u.extent_unit = u.usual_extent_unit) over g as n_measured,
        sum(u.extent::decimal(18, 4)) over g as group_extent
    from usable as u
    cross join (
        values ('home'),
        ('room')
    ) as s (scope)
    window g as (
        partition by
            u.property_ref, u.contact_code, if(u.status = 'part_removed', 'present', u.status), s.scope,
            case when s.scope = 'room' then u.room_key else '' end
    )
),

shared as (
    select
        *,
        n_measured = n_items as is_measured,
        case when is_measured then extent / group_extent else 1.0 / n_items end as share,
        access_factor
        * case
            when not is_measured then 1
            when scope = 'room' then sqrt(group_extent / usual_room_extent)
            else sqrt(group_extent / usual_extent)
        end as factor
    from grouped
)

select
    item_id,
    property_ref,
    scope,
    contact_code,
    product,
    damage,
    sealing,
    round(100 * least(greatest(factor, reach_least), reach_most))::integer as reach_percent,
    share::double as share
from shared
