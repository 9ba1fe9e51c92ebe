-- The pairs of work and material that add the most, with what each meets. One row per work type and contact code.
-- $top: how many
select
    w.in_words as work,
    w.done_by,
    k.short as material,
    max(c.in_words) as task,
    sum(p.exceedances::decimal(38, 15))::double as exceedances,
    sum(p.exceedances_controlled::decimal(38, 15))::double as exceedances_controlled,
    bool_and(p.has_control) as has_control
from work_pairs as p
inner join reference.work_types as w on p.work_type = w.work_type
inner join reference.contact_codes as k on p.contact_code = k.contact_code
inner join release_cells as c on p.product = c.product and p.task = c.task and c.control = 'uncontrolled'
group by w.in_words, w.done_by, k.short
order by exceedances desc, work, material
limit $top
