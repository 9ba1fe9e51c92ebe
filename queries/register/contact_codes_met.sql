-- One row per product, place and element met in a register. Which contacts apply to a material: by product, place and
-- element, the first rule that fits.
-- Kept as a step.
with met as (
    select distinct
        product,
        coalesce(place, 'other') as place,
        coalesce(element, '') as element
    from readings
    where product is not null
)

select
    m.product,
    m.place,
    m.element,
    arg_min(r.contact_code, r.priority) as contact_code
from met as m
inner join reference.contact_rules as r
    on
        m.product = r.product
        and (r.place is null or m.place = r.place)
        and (r.element is null or m.element = r.element)
group by m.product, m.place, m.element
