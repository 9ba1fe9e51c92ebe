-- What the visits to items say against each other. One row per item and kind of contradiction.
select
    k.in_words,
    c.said,
    c.property_ref,
    i.building_ref,
    p.address,
    c.item_id
from item_contradictions as c
inner join reference.contradiction_kinds as k on c.kind = k.kind
inner join items as i on c.item_id = i.item_id and c.property_ref = i.property_ref
inner join properties as p on c.property_ref = p.property_ref
order by k.in_words, p.address, c.property_ref, c.item_id
