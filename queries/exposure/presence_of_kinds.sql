-- The sources of chances in use, in the order of their numbers. One row per source.
select
    k.presence_key,
    r.point,
    r.low,
    r.high
from (
    select distinct presence_key
    from building_terms
) as k
inner join presence_ranges as r on k.presence_key = r.presence_key
order by k.presence_key
