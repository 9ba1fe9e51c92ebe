-- The counts that presence is learned from. One row per archetype, part and contact code.
select *
from presence_counts
order by part, contact_code, archetype
