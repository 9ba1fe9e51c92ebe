-- Every source of a chance of being there, with its range. One row per source.
select
    presence_id,
    presence_key,
    is_possible,
    point,
    low,
    high
from presence_ranges
order by presence_id
