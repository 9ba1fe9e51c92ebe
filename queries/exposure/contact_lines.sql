-- One row per work type, contact code, product and task. Every task by which a kind of work can touch a product under
-- a contact code, with its release.
-- Kept as a step.
with products_of_codes as (
    select
        contact_code,
        product
    from reference.contact_codes
    union
    select
        contact_code,
        product
    from items
    where contact_code is not null
)

select
    c.work_type,
    c.contact_code,
    k.product,
    c.task,
    c.contact,
    c.minutes,
    c.uncertainty_factor as contact_factor,
    u.gm_f_per_ml,
    u.gsd,
    u.uncertainty_factor as release_factor,
    u.is_allowed,
    coalesce(i.instead, c.task) as controlled_task,
    g.gm_f_per_ml as controlled_gm_f_per_ml,
    g.gsd as controlled_gsd,
    g.uncertainty_factor as controlled_factor
from contact_cells as c
inner join products_of_codes as k on c.contact_code = k.contact_code
inner join release_cells as u on k.product = u.product and c.task = u.task and u.control = 'uncontrolled'
left join reference.allowed_instead as i on k.product = i.product and c.task = i.task and not u.is_allowed
left join release_cells as g
    on
        k.product = g.product
        and g.control = 'good practice'
        and coalesce(i.instead, case when u.is_allowed then c.task end) = g.task
order by c.work_type, c.contact_code, k.product, c.task
