-- How likely each kind of work is to lead to exposure over the limits at each item. One row per item and work type that
-- can meet it.
-- Kept as a view.
with pairs as (
    select
        i.item_id,
        i.property_ref,
        e.contact_code,
        e.product,
        e.work_type,
        e.task,
        e.minutes,
        i.profile_id,
        i.share,
        e.touched,
        e.ln_gm,
        e.s,
        e.tau,
        r.point as rate,
        r.low as rate_low,
        r.high as rate_high,
        r.n as rate_n,
        r.basis as rate_basis,
        r.point * e.touched * i.share as encounters_per_year,
        a.p_present,
        e.p_over_control_limit,
        e.p_over_control_limit_low,
        e.p_over_control_limit_high,
        e.p_over_short_term,
        e.p_over_short_term_low,
        e.p_over_short_term_high,
        e.p_over_control_limit_controlled,
        e.p_over_control_limit_controlled_low,
        e.p_over_control_limit_controlled_high,
        e.p_over_short_term_controlled,
        e.p_over_short_term_controlled_low,
        e.p_over_short_term_controlled_high,
        encounters_per_year * a.p_present * e.p_over_control_limit as exceedances_per_year,
        coalesce(e.p_over_control_limit_controlled, e.p_over_control_limit) as p_over,
        coalesce(e.p_over_control_limit_controlled_low, e.p_over_control_limit_low) as p_over_low,
        coalesce(e.p_over_control_limit_controlled_high, e.p_over_control_limit_high) as p_over_high,
        encounters_per_year * a.p_present * p_over as exceedances_controlled,
        ln(a.p_present / a.p_low) ** 2 + ln(r.point / r.low) ** 2 + ln(e.touched / e.touched_low) ** 2 as down,
        ln(a.p_high / a.p_present) ** 2 + ln(r.high / r.point) ** 2 + ln(e.touched_high / e.touched) ** 2 as up
    from item_profiles as i
    inner join exposure_profiles as e
        on i.profile_id = e.profile_id and i.scope = case when e.meets_one_room then 'room' else 'home' end
    inner join item_presence as a on i.item_id = a.item_id and i.property_ref = a.property_ref
    inner join property_cells as c on i.property_ref = c.property_ref
    inner join rates as r on e.work_type = r.work_type and c.stratum_id = r.stratum_id
    where r.point > 0 and a.p_present > 0 and e.touched > 0
)

select
    * exclude (p_over, p_over_low, p_over_high, down, up),
    exceedances_per_year * exp(-sqrt(down + ln(p_over_control_limit / p_over_control_limit_low) ** 2))
        as exceedances_low,
    exceedances_per_year * exp(sqrt(up + ln(p_over_control_limit_high / p_over_control_limit) ** 2))
        as exceedances_high,
    exceedances_controlled * exp(-sqrt(down + ln(p_over / p_over_low) ** 2)) as exceedances_controlled_low,
    exceedances_controlled * exp(sqrt(up + ln(p_over_high / p_over) ** 2)) as exceedances_controlled_high
from pairs
