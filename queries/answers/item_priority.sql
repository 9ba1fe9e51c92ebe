-- The factors of an item's priority assessment, each with what it was taken from. One row per factor.
-- $item_id: which item
-- $property_ref: its property, by which items are kept
select
    r.in_words,
    r.factor_group,
    f.score,
    f.low,
    f.high,
    f.is_assumed,
    case
        when f.is_assumed then 'assumed: usual for ' || if(i.place is null, 'a place not recognised', l.in_words)
        when f.factor = 'location' then 'the place: ' || l.in_words
        else r.said_by
    end as taken_from,
    case when f.is_assumed or f.factor = 'location' then l.source else r.source end as source
from priority_factors as f
inner join items as i on f.item_id = i.item_id
inner join reference.priority_factors as r on f.factor = r.factor
inner join reference.places as l on coalesce(i.place, 'other') = l.place
where f.item_id = $item_id and i.property_ref = $property_ref
order by r.factor_group, r.in_words
