-- One row per entry about an item. Which item an entry is about: rows that name the same property, room as written,
-- product and part are one item; a later visit that writes it otherwise names it again where enough agrees. What
-- nobody took for a material is none.
with known as (
    select
        r.entry_id,
        r.property_ref,
        r.thing_id,
        r.visit_on,
        r.path,
        r.sheet,
        coalesce(i.item_id, t.item_id) as item_id,
        coalesce(l.reason, 'same property, room, product and kind of place') as reason,
        coalesce(l.strength, 1.0)::double as strength
    from item_rows as r
    inner join item_things as t on r.thing_id = t.thing_id
    left join thing_links as l on r.thing_id = l.thing_id
    left join item_things as i on l.root_id = i.thing_id
    where t.has_claim or l.root_id is not null
)

select
    entry_id,
    property_ref,
    item_id,
    (count(*) over (partition by item_id, visit_on, path, sheet))::integer as rows_of_visit,
    reason,
    strength
from known
order by property_ref, entry_id
