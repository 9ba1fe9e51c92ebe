-- Contact lines beside their default release. One row per work type, contact code, product and task.
select
    l.*,
    d.gm_f_per_ml::double as default_gm,
    d.gsd::double as default_gsd,
    d.gm_uncertainty_factor::double as default_factor,
    c.minutes::double as default_minutes
from contact_lines as l
inner join reference.release as d on l.product = d.product and l.task = d.task and d.control = 'uncontrolled'
inner join reference.contacts as c
    on l.work_type = c.work_type and l.contact_code = c.contact_code and l.task = c.task
order by l.work_type, l.contact_code, l.product, l.task
