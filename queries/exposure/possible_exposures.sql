-- Expected exceedances a year at what was never looked for. One row per property, contact code
-- and place.
select
    p.property_ref,
    p.contact_code,
    p.place,
    sum((p.p_present * s.exceedances)::decimal(38, 15))::double as exceedances,
    sum((p.p_present * s.controlled)::decimal(38, 15))::double as exceedances_controlled
from possible_items as p
inner join property_cells as c on p.property_ref = c.property_ref
inner join profiles as f
    on
        p.contact_code = f.contact_code
        and p.product = f.product
        and f.damage = '0'
        and f.sealing = 'sealed'
        and f.reach_percent = 100
inner join profile_sums as s on f.profile_id = s.profile_id and c.stratum_id = s.stratum_id
group by p.property_ref, p.contact_code, p.place
order by p.property_ref, p.contact_code, p.place
