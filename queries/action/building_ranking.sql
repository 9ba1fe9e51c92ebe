-- One row per building. Buildings in the order in which to act: a building ranks by its worst item; and by exposure,
-- known and possible.
with surveyed as (
    select
        p.building_ref,
        (count(*) filter (where s.is_surveyed))::integer as properties_surveyed
    from properties as p
    left join surveyed_properties as s on p.property_ref = s.property_ref
    group by p.building_ref
),

held as (
    select
        i.building_ref,
        min(r.rank) as best_rank,
        count(*)::integer as items,
        (count(*) filter (where i.act_now))::integer as items_act_now
    from items as i
    inner join item_ranking as r on i.item_id = r.item_id
    group by i.building_ref
),

worst as (
    select
        b.building_ref,
        b.homes,
        b.properties,
        s.properties_surveyed,
        coalesce(h.items, 0) as items,
        coalesce(h.items_act_now, 0) as items_act_now,
        r.item_id as worst_item_id,
        r.why_short as worst_why,
        coalesce(i.act_now, false) as act_now,
        r.total_most as worst_total,
        r.has_total as worst_has_total,
        r.total_low as worst_total_low,
        r.total_high as worst_total_high,
        coalesce(i.material_score, i.material_high) as worst_score,
        i.damage_score,
        x.exceedances_known,
        x.exceedances_possible,
        x.exceedances_controlled,
        x.exceedances,
        n.exceedances_low,
        n.exceedances_high,
        n.exceedances_controlled_low,
        n.exceedances_controlled_high,
        n.rank_by_exposure,
        n.rank_low,
        n.rank_high,
        n.rank_group,
        w.reasons
    from buildings as b
    inner join surveyed as s on b.building_ref = s.building_ref
    inner join building_exposures as x on b.building_ref = x.building_ref
    inner join building_ranges as n on b.building_ref = n.building_ref
    left join held as h on b.building_ref = h.building_ref
    left join item_ranking as r on h.best_rank = r.rank
    left join items as i on r.item_id = i.item_id
    left join building_reasons as w on b.building_ref = w.building_ref
)

select
    (row_number() over (
        order by act_now desc, worst_total desc nulls last, exceedances desc, building_ref
    ))::integer as rank,
    rank_by_exposure,
    building_ref,
    properties,
    properties_surveyed,
    items,
    items_act_now,
    worst_item_id,
    worst_score,
    worst_total,
    worst_has_total,
    worst_total_low,
    worst_total_high,
    exceedances_known,
    exceedances_possible,
    exceedances_controlled,
    exceedances_controlled_low,
    exceedances_controlled_high,
    exceedances_low,
    exceedances_high,
    exceedances / greatest(homes, 1) as exceedances_per_home,
    rank_low,
    rank_high,
    rank_group,
    case
        when worst_item_id is not null then worst_why || more_items(items - 1, '')
        when properties_surveyed = 0 then 'Never surveyed'
        when properties_surveyed < properties then 'Nothing recorded where surveyed; the rest was never surveyed'
        else 'Surveyed, nothing recorded'
    end as score_reason,
    exceeded(exceedances, exceedances_low, exceedances_high, reasons) as exposure_reason,
    score_reason || '. ' || exposure_reason as why
from worst
