-- One row per building. Buildings in the order in which to act, with where they stand; where one kind of work or one
-- half of what is known is chosen, their place by exposure is that among these, without a range.
-- $top: how many
-- $by: score or exposure
-- $area: only this management area, or null for all
-- $dwelling_type: only with properties of this type, or null
-- $era: only with properties whose oldest part was built in this era, or null
-- $product: only with this product recorded or possible, or null
-- $work_type: only where this work meets something; exposure is then of this work alone; or null
-- $known: recorded or possible: which of the two counts; or null for both
with chosen as (
    select
        r.*,
        b.name,
        b.area,
        b.latitude,
        b.longitude,
        case
            when $work_type is null
                then
                    case coalesce($known, 'both')
                        when 'recorded' then r.exceedances_known
                        when 'possible' then r.exceedances_possible
                        else r.exceedances_known + r.exceedances_possible
                    end
            else
                case coalesce($known, 'both')
                    when 'recorded' then w.exceedances_known
                    when 'possible' then w.exceedances_possible
                    else w.exceedances_known + w.exceedances_possible
                end
        end as exceedances,
        $work_type is not null or $known is not null as is_part
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
    left join building_works as w on r.building_ref = w.building_ref and w.work_type = $work_type
    where
        ($area is null or b.area = $area)
        and ($work_type is null or w.building_ref is not null)
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
        and (
            $product is null
            or (
                coalesce($known, 'recorded') = 'recorded'
                and exists (
                    from items as i
                    where
                        i.building_ref = r.building_ref
                        and i.product = $product
                        and i.status not in ('removed', 'not_detected')
                )
            )
            or (
                coalesce($known, 'possible') = 'possible'
                and exists (
                    from possible_items as o
                    inner join properties as p on o.property_ref = p.property_ref
                    where p.building_ref = r.building_ref and o.product = $product
                )
            )
        )
        and (
            $known is null
            or ($known = 'recorded' and r.items > 0)
            or ($known = 'possible' and r.exceedances_possible > 0)
        )
),

placed as (
    select
        *,
        (row_number() over (order by exceedances desc, rank_by_exposure))::integer as place
    from chosen
)

select
    rank,
    case when is_part then place else rank_by_exposure end as rank_by_exposure,
    case when is_part then place else rank_low end as rank_low,
    case when is_part then place else rank_high end as rank_high,
    case when is_part then place else rank_group end as rank_group,
    building_ref,
    name,
    area,
    worst_score,
    worst_total,
    exceedances,
    case when not is_part then exceedances_low end as exceedances_low,
    case when not is_part then exceedances_high end as exceedances_high,
    exceedances_known,
    exceedances_possible,
    exceedances_per_home,
    items,
    items_act_now,
    properties,
    properties_surveyed,
    latitude,
    longitude,
    score_reason,
    case
        when is_part then printf('%.2g', exceedances) || ' a year of what is chosen; in all ' || exposure_reason
        else exposure_reason
    end as exposure_reason,
    why
from placed
order by case when $by = 'exposure' then -exceedances else rank end, rank
limit $top
