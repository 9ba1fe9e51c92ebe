-- Every source of a chance of being there, with its range. One row per source.
-- Kept as a step.
select
    presence_key,
    max(p_present) as point,
    min(p_low) as low,
    max(p_high) as high
from item_presence
group by presence_key
union all
select
    'possible ' || archetype || ' ' || part || ' ' || contact_code as presence_key,
    point,
    low,
    high
from presence
