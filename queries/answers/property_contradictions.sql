-- What the visits to the items of a property say against each other. One row per item and kind of contradiction.
-- $property_ref: which property
select
    c.item_id,
    k.in_words,
    c.said
from item_contradictions as c
inner join reference.contradiction_kinds as k on c.kind = k.kind
where c.property_ref = $property_ref
order by c.item_id, c.kind
