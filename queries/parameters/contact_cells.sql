-- One row per work type, contact code and task. How likely a kind of work touches a material that is there, by which
-- task and for how long.
select
    c.work_type,
    c.contact_code,
    c.task,
    coalesce(o.point, c.contact)::double as contact,
    coalesce(t.point, c.minutes)::double as minutes,
    case when o.low > 0 then sqrt(o.high / o.low) else c.uncertainty_factor end::double as uncertainty_factor,
    case when o.point is not null then 'own' else 'default (J)' end as basis,
    case when t.point is not null then 'own' else 'default (J)' end as minutes_basis
from reference.contacts as c
left join own_parameters as o
    on
        o.reason_code is null
        and o.name = 'contact'
        and c.work_type = o.work_type
        and c.contact_code = o.contact_code
        and c.task = o.task
left join own_parameters as t
    on
        t.reason_code is null
        and t.name = 'minutes'
        and c.work_type = t.work_type
        and c.contact_code = t.contact_code
        and c.task = t.task
