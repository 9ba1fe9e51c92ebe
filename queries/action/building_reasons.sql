-- One row per building. What a building's exposure is made of: the three kinds of material, known or possible, that
-- add the most, each with the work that adds the most to it.
-- Kept as a step.
with worked as (
    select
        t.building_ref,
        e.contact_code,
        starts_with(t.presence_key, 'possible') as is_possible,
        e.work_type,
        sum(
            (t.p_present * t.share * r.point * e.touched * e.p_over_control_limit)::decimal(38, 15)
        ) as exceedances
    from building_terms as t
    inner join exposure_profiles as e
        on t.profile_id = e.profile_id and t.scope = case when e.meets_one_room then 'room' else 'home' end
    inner join rates as r on e.work_type = r.work_type and t.dwelling = r.dwelling and t.area = r.area
    group by t.building_ref, e.contact_code, is_possible, e.work_type
),

gathered as (
    select
        building_ref,
        contact_code,
        is_possible,
        sum(exceedances) as exceedances,
        arg_max(work_type, (exceedances, work_type)) as work_type
    from worked
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
inner join reference.work_types as w on o.work_type = w.work_type
where o.nth <= 3
group by o.building_ref
