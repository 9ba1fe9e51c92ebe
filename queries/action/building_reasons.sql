-- One row per building. What a building's exposure is made of: the three kinds of material, known or possible, that
-- add the most, each with the work that adds the most to it.
-- Kept as a step.
with gathered as (
    select
        building_ref,
        contact_code,
        is_possible,
        sum(exceedances) as exceedances,
        arg_max(work_id, (exceedances, work_id)) as work_id
    from building_parts
    group by building_ref, contact_code, is_possible
),

ordered as (
    select
        *,
        row_number() over (
            partition by building_ref
            order by exceedances desc, contact_code, is_possible
        ) as nth
    from gathered
    where exceedances > 0
),

works as (
    select distinct
        work_id,
        work_type
    from cell_works
)

select
    o.building_ref,
    string_agg(
        case when o.is_possible then 'possible ' else '' end || k.short || ': ' || w.short
        || ' (' || case
            when o.exceedances < 0.0001 then 'under 0.0001'
            else printf('%.2g', o.exceedances::double)
        end || ')',
        '; ' order by o.nth
    ) as reasons
from ordered as o
inner join reference.contact_codes as k on o.contact_code = k.contact_code
inner join works as n on o.work_id = n.work_id
inner join reference.work_types as w on n.work_type = w.work_type
where o.nth <= 3
group by o.building_ref
