-- Contact lines beside their default release. One row per work type, contact code, product and task.
select
    l.*,
    d.gm_f_per_ml::double as default_gm,
    d.gsd::double as default_gsd,
    d.gm_uncertainty_factor::double as default_factor
from contact_lines as l
inner join reference.release as d on l.product = d.product and l.task = d.task and d.control = 'uncontrolled'
order by l.work_type, l.contact_code, l.product, l.task
