-- One row per item. How likely each item is asbestos: 1 where identified, the positive share where presumed, halfway
-- to 1 where strongly presumed.
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
        when i.status = 'not_detected' then 0.02
        when i.identification = 'identified' then 1
        when i.identification = 'strongly_presumed' then (1 + s.point) / 2
        else s.point
    end as p_present,
    case
        when i.status = 'not_detected' then 0.01
        when i.identification = 'identified' then 1
        when i.identification = 'strongly_presumed' then (1 + s.point / s.uncertainty_factor) / 2
        else s.point / s.uncertainty_factor
    end as p_low,
    case
        when i.status = 'not_detected' then 0.04
        when i.identification = 'identified' then 1
        when i.identification = 'strongly_presumed' then (1 + least(1, s.point * s.uncertainty_factor)) / 2
        else least(1, s.point * s.uncertainty_factor)
    end as p_high
from items as i
inner join property_cells as c on i.property_ref = c.property_ref
inner join positive_shares as s on i.contact_code = s.contact_code and c.era = s.era
