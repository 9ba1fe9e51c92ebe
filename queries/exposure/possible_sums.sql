-- One row per property, contact code and place. Expected exceedances a year at what was never looked for, which counts
-- as whole, sealed and of usual reach.
with usual as (
    select
        f.contact_code,
        f.product,
        s.stratum_id,
        sum(s.exceedances::decimal(38, 15))::double as exceedances,
        sum(s.controlled::decimal(38, 15))::double as controlled
    from profiles as f
    inner join profile_sums as s on f.profile_id = s.profile_id
    where is_usual(f.damage, f.sealing, f.reach_percent)
    group by f.contact_code, f.product, s.stratum_id
)

select
    p.property_ref,
    p.contact_code,
    p.place,
    p.share,
    p.p_present * u.exceedances as exceedances,
    p.p_present * u.controlled as exceedances_controlled
from possible_items as p
inner join property_cells as c on p.property_ref = c.property_ref
inner join usual as u on p.contact_code = u.contact_code and p.product = u.product and c.stratum_id = u.stratum_id
order by p.property_ref, p.contact_code, p.place
