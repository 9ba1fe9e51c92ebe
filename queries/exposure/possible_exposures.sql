-- One row per property, contact code and place. Expected exceedances a year at what was never looked for, with the
-- range of all of its kind.
-- Kept as a view.
select
    p.property_ref,
    p.contact_code,
    p.place,
    p.exceedances,
    p.share * r.exceedances_low as exceedances_low,
    p.share * r.exceedances_high as exceedances_high,
    p.exceedances_controlled,
    p.share * r.exceedances_controlled_low as exceedances_controlled_low,
    p.share * r.exceedances_controlled_high as exceedances_controlled_high
from possible_sums as p
inner join property_cells as c on p.property_ref = c.property_ref
inner join possible_ranges as r
    on possible(c.archetype, c.part, p.contact_code) = r.presence_key and c.stratum_id = r.stratum_id
