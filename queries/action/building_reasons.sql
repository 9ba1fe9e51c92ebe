-- One row per building. What a building's exposure is made of: the three pairs of work and kind of material, known or
-- possible, that add the most, each with its own figure.
-- Kept as a step.
with pairs as (
    select
        building_ref,
        contact_code,
        is_possible,
        work_type,
        sum(exceedances::decimal(38, 15))::double as exceedances
    from building_parts
    group by building_ref, contact_code, is_possible, work_type
),

ordered as (
    select
        *,
        row_number() over (
            partition by building_ref
            order by exceedances desc, contact_code, is_possible, work_type
        ) as nth
    from pairs
)

select
    o.building_ref,
    string_agg(
        pair(w.short, k.short, o.is_possible, o.exceedances),
        '; ' order by o.nth
    ) as reasons
from ordered as o
inner join reference.contact_codes as k on o.contact_code = k.contact_code
inner join reference.work_types as w on o.work_type = w.work_type
where o.nth <= 3
group by o.building_ref
