-- The factors of an item's priority assessment. One row per factor.
-- $item_id: which item
select
    r.in_words,
    r.factor_group,
    f.score,
    f.low,
    f.high,
    f.is_assumed
from priority_factors as f
inner join reference.priority_factors as r on f.factor = r.factor
where f.item_id = $item_id
order by r.factor_group, r.in_words
