-- The counts that presence is learned from, where any is expected. One row per archetype, part and contact code.
select *
from presence_counts
where default_share > 0
order by part, contact_code, archetype
