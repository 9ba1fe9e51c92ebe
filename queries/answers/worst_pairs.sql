-- The pairs of work and material that add the most, with what each meets and its 90 % ranges. One row per work type
-- and contact code.
-- $top: how many
select
    w.in_words as work,
    w.done_by,
    k.short as material,
    max(c.in_words) as task,
    sum(p.exceedances::decimal(38, 15))::double as exceedances,
    n.exceedances_low,
    n.exceedances_high,
    sum(p.exceedances_controlled::decimal(38, 15))::double as exceedances_controlled,
    n.exceedances_controlled_low,
    n.exceedances_controlled_high,
    bool_and(p.has_control) as has_control
from work_pairs as p
inner join reference.work_types as w on p.work_type = w.work_type
inner join reference.contact_codes as k on p.contact_code = k.contact_code
inner join release_cells as c on p.product = c.product and p.task = c.task and c.control = 'uncontrolled'
left join pair_ranges as n on p.work_type = n.work_type and p.contact_code = n.contact_code
group by
    w.in_words, w.done_by, k.short, n.exceedances_low, n.exceedances_high, n.exceedances_controlled_low,
    n.exceedances_controlled_high
order by exceedances desc, work, material
limit $top
