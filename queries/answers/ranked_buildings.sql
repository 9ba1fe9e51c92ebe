-- One row per building. Buildings in the order in which to act, with where they stand. Where a product is chosen, score
-- and act-now are those of its recorded items alone; where a product, a kind of work or one half of what is known is
-- chosen, exposure, its reasons and the place by it are those of what is chosen alone, and have no range.
-- $top: how many
-- $by: score or exposure
-- $area: only this management area, or null for all
-- $dwelling_type: only with properties of this type, or null
-- $era: only with properties whose oldest part was built in this era, or null
-- $product: only with this product recorded or possible, or null
-- $work_type: only where this work meets something, or null
-- $known: recorded or possible: which of the two counts; or null for both
with parts as (
    select
        building_ref,
        contact_code,
        is_possible,
        work_type,
        sum(exceedances::decimal(38, 15)) as exceedances
    from building_parts
    where
        ($product is not null or $work_type is not null or $known is not null)
        and ($product is null or product = $product)
        and ($work_type is null or work_type = $work_type)
        and ($known is null or is_possible = ($known = 'possible'))
    group by building_ref, contact_code, is_possible, work_type
),

ordered as (
    select
        *,
        row_number() over (
            partition by building_ref
            order by exceedances desc, contact_code, is_possible, work_type
        ) as nth
    from parts
),

restricted as (
    select
        o.building_ref,
        coalesce(sum(o.exceedances) filter (where not o.is_possible), 0)::double as exceedances_known,
        coalesce(sum(o.exceedances) filter (where o.is_possible), 0)::double as exceedances_possible,
        string_agg(
            pair(w.short, k.short, o.is_possible, o.exceedances),
            '; ' order by o.nth
        ) filter (where o.nth <= 3) as reasons
    from ordered as o
    inner join reference.contact_codes as k on o.contact_code = k.contact_code
    inner join reference.work_types as w on o.work_type = w.work_type
    group by o.building_ref
),

held as (
    select
        i.building_ref,
        min(r.rank) as best_rank,
        count(*)::integer as items,
        (count(*) filter (where i.act_now))::integer as items_act_now
    from item_ranking as r
    inner join items as i on r.item_id = i.item_id
    where i.product = $product
    group by i.building_ref
),

chosen as (
    select
        r.rank as rank_of_all,
        h.best_rank,
        r.building_ref,
        b.name,
        in_area(b.name, b.area) as name_in_area,
        b.area,
        b.homes,
        b.latitude,
        b.longitude,
        r.properties,
        r.properties_surveyed,
        $product is null as is_every_product,
        $product is null and $work_type is null and $known is null as has_range,
        if(has_range, r.exceedances_known, coalesce(x.exceedances_known, 0)) as exceedances_known,
        if(has_range, r.exceedances_possible, coalesce(x.exceedances_possible, 0)) as exceedances_possible,
        if(has_range, r.exceedances_low, null) as exceedances_low,
        if(has_range, r.exceedances_high, null) as exceedances_high,
        r.rank_by_exposure,
        if(has_range, r.rank_low, null) as rank_low,
        if(has_range, r.rank_high, null) as rank_high,
        if(has_range, r.rank_group, null) as rank_group,
        r.exposure_reason as reason_of_all,
        x.reasons,
        if(is_every_product, r.items, coalesce(h.items, 0)) as items,
        if(is_every_product, r.items_act_now, coalesce(h.items_act_now, 0)) as items_act_now,
        if(is_every_product, r.worst_score, coalesce(i.material_score, i.material_high)) as worst_score,
        if(is_every_product, r.worst_total, n.total_most) as worst_total,
        if(is_every_product, r.worst_total_is_sure, n.total_is_sure) as worst_total_is_sure,
        if(
            is_every_product, r.score_reason,
            coalesce(n.why_short || more_items(h.items - 1, ' of this material'), 'None of this material is recorded')
        ) as score_reason
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
    left join restricted as x on r.building_ref = x.building_ref
    left join held as h on r.building_ref = h.building_ref
    left join item_ranking as n on h.best_rank = n.rank
    left join items as i on n.item_id = i.item_id
    where
        ($area is null or b.area = $area)
        and ($work_type is null or x.building_ref is not null)
        and ($known is distinct from 'possible' or x.building_ref is not null)
        and ($known is distinct from 'recorded' or if($product is null, r.items > 0, h.building_ref is not null))
        and ($product is null or x.building_ref is not null or h.building_ref is not null)
        and (
            ($dwelling_type is null and $era is null)
            or exists (
                from properties as p
                left join reference.eras as e on p.oldest_year between e.from_year and e.to_year
                where
                    p.building_ref = r.building_ref
                    and ($dwelling_type is null or p.dwelling_type = $dwelling_type)
                    and ($era is null or coalesce(e.era, 'year unknown') = $era)
            )
        )
),

summed as (
    select
        *,
        exceedances_known + exceedances_possible as exceedances,
        row_number() over (order by exceedances_known + exceedances_possible desc, rank_by_exposure) as place,
        row_number() over (
            order by best_rank nulls last, exceedances_known + exceedances_possible desc, building_ref
        ) as place_by_score
    from chosen
)

select
    if(is_every_product, rank_of_all, place_by_score)::integer as rank,
    if(has_range, rank_by_exposure, place)::integer as rank_by_exposure,
    rank_low,
    rank_high,
    rank_group,
    building_ref,
    name,
    area,
    name_in_area,
    worst_score,
    worst_total,
    worst_total_is_sure,
    exceedances,
    exceedances_low,
    exceedances_high,
    has_range,
    exceedances_known,
    exceedances_possible,
    exceedances / greatest(homes, 1) as exceedances_per_home,
    items,
    items_act_now,
    properties,
    properties_surveyed,
    latitude,
    longitude,
    score_reason,
    if(has_range, reason_of_all, exceeded(exceedances, null, null, reasons)) as exposure_reason,
    score_reason || '. ' || exposure_reason as why
from summed
order by
    case when $by = 'exposure' then if(has_range, rank_by_exposure, place) else rank end
limit $top
