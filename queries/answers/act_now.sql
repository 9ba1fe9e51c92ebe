-- One row per item that cannot wait, in the order in which to act; or, instead, that might not be able to, as nobody
-- scored its damage. The filters choose as they do for ranked_buildings: area, type and age whole buildings, the others
-- items.
-- $area: only this management area, or null for all
-- $dwelling_type: only in buildings with properties of this type, or null
-- $era: only in buildings with properties whose oldest part was built in this era, or null
-- $product: only of this product, or null
-- $work_type: only what this work meets, or null
-- $damage: unscored, for what nobody scored the damage of; or null: what cannot wait
-- $known: recorded, or null: every item; possible: none, as what is only possible is no item
with met as (
    select item_id
    from exposures
    where work_type = $work_type
),

fitting as (
    select p.building_ref
    from properties as p
    left join reference.eras as e on p.oldest_year between e.from_year and e.to_year
    where
        ($dwelling_type is null or p.dwelling_type = $dwelling_type)
        and ($era is null or coalesce(e.era, 'year unknown') = $era)
)

select
    r.rank,
    i.item_id,
    i.building_ref,
    b.name as building,
    in_area(b.name, b.area) as building_in_area,
    i.property_ref,
    p.address,
    p.postcode,
    p.uprn,
    b.properties > 1 as is_part,
    b.area,
    m.in_words as product_in_words,
    coalesce(l.in_words, 'place not recognised') as place_in_words,
    e.room_text,
    i.identification,
    i.asbestos_types,
    concat_ws(
        ', ', nullif(array_to_string(i.asbestos_types, ' and '), ''), replace(i.identification, '_', ' ')
    ) as asbestos_in_words,
    i.extent,
    i.extent_unit,
    i.accessibility,
    coalesce(i.act_now_why, 'nobody scored its damage') as act_now_why,
    coalesce(i.material_score, i.material_high) as material_score,
    r.total_most as total_score,
    r.has_total,
    r.total_low,
    r.total_high,
    i.last_surveyed_on
from items as i
inner join item_ranking as r on i.item_id = r.item_id and i.property_ref = r.property_ref
inner join properties as p on i.property_ref = p.property_ref
inner join buildings as b on i.building_ref = b.building_ref
inner join reference.products as m on i.product = m.product
left join entries as e on i.entry_id = e.entry_id
left join reference.places as l on i.place = l.place
left join met as t on i.item_id = t.item_id
where
    if($damage = 'unscored', not i.act_now and i.damage_score is null, i.act_now)
    and coalesce($known, 'recorded') = 'recorded'
    and ($area is null or b.area = $area)
    and ($product is null or i.product = $product)
    and ($work_type is null or t.item_id is not null)
    and (
        ($dwelling_type is null and $era is null)
        or i.building_ref in (
            select f.building_ref
            from fitting as f
        )
    )
order by r.rank
