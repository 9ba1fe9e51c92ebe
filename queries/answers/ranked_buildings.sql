-- One row per building. Buildings in the order in which to act, with where they stand. Where a product, a kind of work
-- or one half of what is known is chosen, score, counts, act-now, reason and place are those of the recorded items that
-- pass; exposure, its reasons and the place by it are those of what is chosen alone (chosen_ranges ranges it). What is
-- only possible has no score: its buildings stand by exposure.
-- $top: how many
-- $told: of how many of them, from the first on, what their exposure is made of is told, or null for all
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
        exceedances::decimal(18, 12) as exceedances
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

-- A kind of work meets the items that it has a line of exposure for.
met as (
    select item_id
    from exposures
    where work_type = $work_type
),

-- The recorded items that pass, where a product or a kind of work is chosen.
held as (
    select
        i.building_ref,
        arg_min(coalesce(i.material_score, i.material_high), r.rank) as worst_score,
        arg_min(r.total_most, r.rank) as worst_total,
        arg_min(r.has_total, r.rank) as worst_has_total,
        arg_min(r.total_low, r.rank) as worst_total_low,
        arg_min(r.total_high, r.rank) as worst_total_high,
        arg_min(r.why_short, r.rank) as worst_why,
        count(*)::integer as items,
        (count(*) filter (where i.act_now))::integer as items_act_now
    from item_ranking as r
    inner join items as i on r.item_id = i.item_id
    left join met as m on i.item_id = m.item_id
    where
        ($product is not null or $work_type is not null)
        and coalesce($known, 'recorded') = 'recorded'
        and ($product is null or i.product = $product)
        and ($work_type is null or m.item_id is not null)
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
        h.worst_score,
        h.worst_total,
        h.worst_has_total,
        h.worst_total_low,
        h.worst_total_high,
        h.worst_why,
        h.items as items_held,
        h.items_act_now as items_held_act_now,
        $product is null and $work_type is null and coalesce($known, 'recorded') = 'recorded' as is_every_item,
        is_every_item and $known is null as has_range,
        if(has_range, r.exceedances_known, coalesce(x.exceedances_known, 0)) as known,
        if(has_range, r.exceedances_possible, coalesce(x.exceedances_possible, 0)) as possible,
        known + possible as exceedances
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
    left join restricted as x on r.building_ref = x.building_ref
    left join held as h on r.building_ref = h.building_ref
    where
        ($area is null or b.area = $area)
        and (is_every_item or x.building_ref is not null or h.building_ref is not null)
        and (coalesce($known, 'possible') = 'possible' or if(is_every_item, r.items > 0, h.building_ref is not null))
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
        row_number() over (
            order by
                coalesce(items_held_act_now > 0, false) desc, worst_total desc nulls last, exceedances desc,
                building_ref
        ) as place_by_score
    from chosen
),

shown as (
    select
        *,
        if(is_every_item, rank_of_all, place_by_score)::integer as rank,
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
        sum(p.exceedances)::double as exceedances
    from parts as p
    where
        p.building_ref in (
            select s.building_ref
            from shown as s
            qualify $told is null or row_number() over (order by s.nth) <= $told
        )
    group by p.building_ref, p.contact_code, p.is_possible, p.work_type
),

-- Rows of values are compared field by field, the least first.
most as (
    select
        building_ref,
        min(
            struct_pack(
                negative := -exceedances,
                contact_code := contact_code,
                is_possible := is_possible,
                work_type := work_type
            ), 3
        ) as pairs
    from pairs
    group by building_ref
),

work_names as (
    select map(list(work_type order by work_type), list(in_words order by work_type)) as works
    from reference.work_types
),

material_names as (
    select map(list(contact_code order by contact_code), list(short order by contact_code)) as materials
    from reference.contact_codes
),

explained as (
    select
        m.building_ref,
        array_to_string(
            list_transform(
                m.pairs,
                lambda m: pair(w.works[m.work_type], k.materials[m.contact_code], m.is_possible, -m.negative)
            ), '; '
        ) as reasons
    from most as m
    cross join work_names as w
    cross join material_names as k
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
        if(s.is_every_item, r.worst_score, s.worst_score) as worst_score,
        if(s.is_every_item, r.worst_total, s.worst_total) as worst_total,
        if(s.is_every_item, r.worst_has_total, s.worst_has_total) as worst_has_total,
        if(s.is_every_item, r.worst_total_low, s.worst_total_low) as worst_total_low,
        if(s.is_every_item, r.worst_total_high, s.worst_total_high) as worst_total_high,
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
        if(s.is_every_item, r.items, coalesce(s.items_held, 0)) as items,
        if(s.is_every_item, r.items_act_now, coalesce(s.items_held_act_now, 0)) as items_act_now,
        r.properties,
        r.properties_surveyed,
        b.latitude,
        b.longitude,
        if($product is null, '', ' of this material')
        || if($work_type is null, '', ' that this activity meets') as chosen_in_words,
        case
            when s.is_every_item then r.score_reason
            when $known = 'possible' then 'What is only possible has no score'
            else
                coalesce(
                    s.worst_why || more_items(s.items_held - 1, chosen_in_words),
                    'Nothing' || chosen_in_words || ' is recorded'
                )
        end as score_reason,
        x.reasons,
        if(s.has_range, r.exposure_reason, exceeded(s.exceedances, null, null, x.reasons)) as exposure_reason,
        s.nth
    from shown as s
    inner join building_ranking as r on s.building_ref = r.building_ref
    inner join buildings as b on s.building_ref = b.building_ref
    left join explained as x on s.building_ref = x.building_ref
)

select
    * exclude (nth, chosen_in_words),
    score_reason || '. ' || exposure_reason as why
from told
order by nth
