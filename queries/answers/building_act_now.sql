-- What cannot wait in a building, in the order in which to act. One row per item.
-- $building_ref: which building
select
    i.item_id,
    i.property_ref,
    p.address,
    m.in_words as product_in_words,
    coalesce(l.in_words, 'place not recognised') as place_in_words,
    i.act_now_why,
    i.last_surveyed_on
from items as i
inner join item_ranking as r on i.item_id = r.item_id and i.property_ref = r.property_ref
inner join properties as p on i.property_ref = p.property_ref
inner join reference.products as m on i.product = m.product
left join reference.places as l on i.place = l.place
where i.building_ref = $building_ref and i.act_now
order by r.rank
