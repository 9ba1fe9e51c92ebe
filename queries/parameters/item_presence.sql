-- One row per item. How likely each item is asbestos and there: 1 where identified, the positive share where presumed,
-- halfway to 1 where strongly presumed; what was removed or not found is left with a share of that.
with own as (
    select
        i.item_id,
        i.property_ref,
        i.contact_code,
        i.room_key,
        i.status,
        case
            when i.status = 'not_detected' then 'not detected'
            when i.identification = 'identified' then 'identified'
            else i.identification || ' ' || i.contact_code || ' ' || c.era
        end as presence_key,
        case
            when i.status = 'not_detected' then m.p_not_detected
            when i.identification = 'identified' then 1
            when i.identification = 'strongly_presumed' then (1 + s.point) / 2
            else s.point
        end as p_present,
        case
            when i.status = 'not_detected' then m.p_not_detected_low
            when i.identification = 'identified' then 1
            when i.identification = 'strongly_presumed' then (1 + s.low) / 2
            else s.low
        end as p_low,
        case
            when i.status = 'not_detected' then m.p_not_detected_high
            when i.identification = 'identified' then 1
            when i.identification = 'strongly_presumed' then (1 + s.high) / 2
            else s.high
        end as p_high
    from items as i
    inner join property_cells as c on i.property_ref = c.property_ref
    inner join positive_shares as s on i.contact_code = s.contact_code and c.era = s.era
    cross join model as m
)

select
    o.item_id,
    o.property_ref,
    o.contact_code,
    o.room_key,
    o.status,
    case when g.name is not null then replace(o.status, '_', ' ') || ', ' else '' end || o.presence_key as presence_key,
    o.p_present as p_found,
    o.p_present * coalesce(g.point, 1) as p_present,
    o.p_low * coalesce(g.low, 1) as p_low,
    o.p_high * coalesce(g.high, 1) as p_high
from own as o
left join model_figures as g
    on o.status in ('removed', 'said_removed', 'not_found') and g.name = 'p_present_' || o.status
