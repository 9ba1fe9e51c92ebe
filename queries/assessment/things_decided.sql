-- When each thing that may be another was named. One row per thing and day, of those among which is chosen or that a
-- person's answer is about.
with asked as (
    select earlier_id as thing_id
    from link_candidates
    union
    select later_id as thing_id
    from link_candidates
    union
    select a.thing_id
    from corrections_links as c
    inner join item_rows as a on a.entry_id in (c.entry_id, c.same_as)
)

select
    v.property_ref,
    v.thing_id,
    v.visit_on
from asked as a
inner join thing_visits as v on a.thing_id = v.thing_id
order by v.thing_id, v.visit_on
