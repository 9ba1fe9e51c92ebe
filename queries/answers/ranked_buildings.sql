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
        exceedances::decimal(38, 15) as exceedances
    from building_parts
    where
        ($product is not null or $work_type is not null or $known is not null)
        and ($product is null or product = $product)
        and ($work_type is null or work_type = $work_type)
        and ($known is null or is_possible = ($known = 'possible'))
),

restricted as (
    select
        building_ref,
        coalesce(sum(exceedances) filter (where not is_possible), 0)::double as exceedances_known,
        coalesce(sum(exceedances) filter (where is_possible), 0)::double as exceedances_possible
    from parts
    group by building_ref
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

fitting as (
    select p.building_ref
    from properties as p
    left join reference.eras as e on p.oldest_year between e.from_year and e.to_year
    where
        ($dwelling_type is not null or $era is not null)
        and ($dwelling_type is null or p.dwelling_type = $dwelling_type)
        and ($era is null or coalesce(e.era, 'year unknown') = $era)
),

-- What the order follows from, and no more: the rest is looked up for those that are shown.
chosen as (
    select
        r.building_ref,
        r.rank as rank_of_all,
        r.rank_by_exposure as exposure_rank_of_all,
        h.best_rank,
        h.items as items_held,
        h.items_act_now as items_held_act_now,
        $product is null as is_every_product,
        $product is null and $work_type is null and $known is null as has_range,
        if(has_range, r.exceedances_known, coalesce(x.exceedances_known, 0)) as known,
        if(has_range, r.exceedances_possible, coalesce(x.exceedances_possible, 0)) as possible,
        known + possible as exceedances
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
    left join restricted as x on r.building_ref = x.building_ref
    left join held as h on r.building_ref = h.building_ref
    where
        ($area is null or b.area = $area)
        and ($work_type is null or x.building_ref is not null)
        and ($known is distinct from 'possible' or x.building_ref is not null)
        and ($known is distinct from 'recorded' or if($product is null, r.items > 0, h.building_ref is not null))
        and ($product is null or x.building_ref is not null or h.building_ref is not null)
        and (
            ($dwelling_type is null and $era is null)
            or r.building_ref in (
                select f.building_ref
                from fitting as f
            )
        )
),

placed as (
    select
        *,
        row_number() over (order by exceedances desc, exposure_rank_of_all) as place,
        row_number() over (order by best_rank nulls last, exceedances desc, building_ref) as place_by_score
    from chosen
),

shown as (
    select
        *,
        if(is_every_product, rank_of_all, place_by_score)::integer as rank,
        if(has_range, exposure_rank_of_all, place)::integer as rank_by_exposure,
        if($by = 'exposure', rank_by_exposure, rank) as nth
    from placed
    order by nth
    limit $top
),

pairs as (
    select
        p.building_ref,
        p.contact_code,
        p.is_possible,
        p.work_type,
        sum(p.exceedances) as exceedances
    from parts as p
    where
        p.building_ref in (
            select s.building_ref
            from shown as s
        )
    group by p.building_ref, p.contact_code, p.is_possible, p.work_type
),

most as (
    select *
    from pairs
    qualify
        row_number() over (
            partition by building_ref
            order by exceedances desc, contact_code, is_possible, work_type
        ) <= 3
),

explained as (
    select
        m.building_ref,
        string_agg(
            pair(w.short, k.short, m.is_possible, m.exceedances),
            '; ' order by m.exceedances desc, m.contact_code, m.is_possible, m.work_type
        ) as reasons
    from most as m
    inner join reference.contact_codes as k on m.contact_code = k.contact_code
    inner join reference.work_types as w on m.work_type = w.work_type
    group by m.building_ref
),

told as (
    select
        s.rank,
        s.rank_by_exposure,
        if(s.has_range, r.rank_low, null) as rank_low,
        if(s.has_range, r.rank_high, null) as rank_high,
        if(s.has_range, r.rank_group, null) as rank_group,
        s.building_ref,
        b.name,
        b.area,
        in_area(b.name, b.area) as name_in_area,
        if(s.is_every_product, r.worst_score, coalesce(i.material_score, i.material_high)) as worst_score,
        if(s.is_every_product, r.worst_total, n.total_most) as worst_total,
        if(s.is_every_product, r.worst_total_is_sure, n.total_is_sure) as worst_total_is_sure,
        s.exceedances,
        if(s.has_range, r.exceedances_low, null) as exceedances_low,
        if(s.has_range, r.exceedances_high, null) as exceedances_high,
        if(s.has_range, r.exceedances_controlled, null) as exceedances_controlled,
        if(s.has_range, r.exceedances_controlled_low, null) as exceedances_controlled_low,
        if(s.has_range, r.exceedances_controlled_high, null) as exceedances_controlled_high,
        s.has_range,
        s.known as exceedances_known,
        s.possible as exceedances_possible,
        s.exceedances / greatest(b.homes, 1) as exceedances_per_home,
        if(s.is_every_product, r.items, coalesce(s.items_held, 0)) as items,
        if(s.is_every_product, r.items_act_now, coalesce(s.items_held_act_now, 0)) as items_act_now,
        r.properties,
        r.properties_surveyed,
        b.latitude,
        b.longitude,
        if(
            s.is_every_product, r.score_reason,
            coalesce(
                n.why_short || more_items(s.items_held - 1, ' of this material'), 'None of this material is recorded'
            )
        ) as score_reason,
        x.reasons,
        if(s.has_range, r.exposure_reason, exceeded(s.exceedances, null, null, x.reasons)) as exposure_reason,
        s.nth
    from shown as s
    inner join building_ranking as r on s.building_ref = r.building_ref
    inner join buildings as b on s.building_ref = b.building_ref
    left join explained as x on s.building_ref = x.building_ref
    left join item_ranking as n on $product is not null and s.best_rank = n.rank
    left join items as i on n.item_id = i.item_id
)

select
    * exclude (nth),
    score_reason || '. ' || exposure_reason as why
from told
order by nth
