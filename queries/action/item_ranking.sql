-- One row per item that is not known to be removed or free of asbestos. Items in the order in which to act: those that
-- cannot wait, then by total score (its high end where a part is missing), material score, damage.
with ranked as (
    select
        i.*,
        e.exceedances,
        e.exceedances_controlled,
        i.material_low + i.priority_low as total_low,
        i.material_high + i.priority_high as total_high,
        coalesce(i.total_score, total_high) as total_most,
        i.total_score is not null as has_total,
        i.total_score || ' of 24'
        || if(total_low < total_high, ', could be ' || total_low || ' to ' || total_high, '') as total_in_words,
        round(e.exceedances, 12) as rounded
    from items as i
    inner join item_sums as e on i.item_id = e.item_id
    where i.status not in ('removed', 'not_detected')
),

homes_of_blocks as (
    select
        p.property_ref,
        split_part(p.address, ',', 1) as home
    from properties as p
    inner join buildings as b on p.building_ref = b.building_ref
    where b.properties > 1
)

select
    (row_number() over (
        order by
            i.act_now desc, i.total_most desc, coalesce(i.material_score, i.material_high) desc,
            i.damage_score desc nulls last, i.rounded desc, i.item_id
    ))::integer as rank,
    (row_number() over (order by i.rounded desc, i.item_id))::integer as rank_by_exposure,
    i.item_id,
    i.property_ref,
    i.total_most,
    i.has_total,
    i.total_low,
    i.total_high,
    i.exceedances,
    i.exceedances_controlled,
    upper(left(p.in_words, 1)) || substr(p.in_words, 2)
    || ' (' || concat_ws('; ', coalesce(l.in_words, 'place not recognised'), h.home, s.short) || ')'
    || case when i.act_now then ' cannot wait: ' || i.act_now_why || '. It scores ' else ' scores ' end
    || coalesce(i.total_in_words, i.total_low || ' to ' || i.total_high || ' of 24') || ' (material '
    || case
        when i.material_score is null then i.material_low || ' to ' || i.material_high
        else i.material_score::varchar
    end
    || '), ' || coalesce('last seen on ' || strftime(i.last_surveyed_on, '%-d %b %Y'), 'date of survey unknown')
        as why_short,
    exceeded(i.exceedances, null, null, within(w.in_words)) as exposure_reason,
    concat_ws(
        '; ',
        upper(left(p.in_words, 1)) || substr(p.in_words, 2) || ', ' || coalesce(l.in_words, 'place not recognised'),
        s.short,
        'act now: ' || i.act_now_why,
        case
            when i.material_score is null
                then 'material score ' || i.material_low || ' to ' || i.material_high || ' of 12'
            when i.material_low < i.material_score
                then 'material score ' || i.material_score || ' of 12, at least ' || i.material_low
            else 'material score ' || i.material_score || ' of 12'
        end
        || coalesce(' (' || i.material_band || ')', ''),
        'with priority ' || coalesce(i.total_in_words, i.total_low || ' to ' || i.total_high || ' of 24'),
        exposure_reason,
        coalesce('seen ' || strftime(i.last_surveyed_on, '%-d %b %Y'), 'date of survey unknown')
    ) as why
from ranked as i
inner join reference.products as p on i.product = p.product
inner join property_cells as c on i.property_ref = c.property_ref
left join homes_of_blocks as h on i.property_ref = h.property_ref
inner join item_profiles as f on i.item_id = f.item_id and f.scope = 'home'
left join item_works as t on f.profile_id = t.profile_id and c.dwelling = t.dwelling and c.area = t.area
left join reference.work_types as w on t.work_type = w.work_type
left join reference.places as l on i.place = l.place
left join reference.item_statuses as s on i.status = s.status
order by i.property_ref, i.item_id
