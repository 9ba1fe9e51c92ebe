-- The materials that the registers speak of, as they are by now. One row per item.
with rules_met as (
    select
        c.item_id,
        string_agg(r.why, '; ' order by r.rule) as why,
        bool_or(c.accessibility is null and r.reach_at_least > 0) as is_reach_assumed
    from item_conditions as c
    inner join reference.act_now_rules as r
        on
            (r.product is null or c.product = r.product)
            and (not r.debris or c.is_debris)
            and c.damage_score between r.damage_at_least and r.damage_at_most
            and coalesce(c.accessibility, 3) >= r.reach_at_least
    where c.is_suspect
    group by c.item_id
)

select
    c.item_id,
    c.entry_id,
    c.evidence_entry_id,
    c.property_ref,
    c.building_ref,
    c.place,
    c.room_key,
    c.product,
    c.contact_code,
    c.is_debris,
    c.product_type_score,
    c.product_type_low,
    c.product_type_high,
    c.damage_score,
    c.damage_low,
    c.damage_high,
    c.surface_treatment_score,
    c.surface_treatment_low,
    c.surface_treatment_high,
    c.asbestos_type_score,
    c.asbestos_type_low,
    c.asbestos_type_high,
    c.asbestos_types,
    c.accessibility,
    c.first_surveyed_on,
    c.last_surveyed_on,
    c.n_entries,
    c.extent,
    c.extent_unit,
    case when c.is_suspect then coalesce(f.status, 'present') else 'not_detected' end as status,
    c.identification,
    m.material_score,
    m.material_low,
    m.material_high,
    m.material_band,
    q.priority_score,
    q.priority_low,
    q.priority_high,
    coalesce(q.priority_assumed, []) as priority_assumed,
    m.material_score + q.priority_score as total_score,
    c.is_suspect
    and coalesce(f.status, 'present') <> 'removed'
    and (r.item_id is not null or c.event is not null) as act_now,
    case
        when act_now
            then concat_ws(
                '; ',
                r.why
                || case when r.is_reach_assumed then ' (reach not recorded, so taken as within reach)' else '' end,
                c.event || ' is reported'
            )
    end as act_now_why
from item_conditions as c
left join material_scores as m on c.item_id = m.id
left join priority_scores as q on c.item_id = q.item_id
left join rules_met as r on c.item_id = r.item_id
left join item_fates as f on c.item_id = f.item_id
order by c.property_ref, c.item_id
