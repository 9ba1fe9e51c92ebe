-- Every source of a chance of being there, with its range and a number. One row per source.
-- Kept as a step.
with ranges as (
    select
        presence_key,
        false as is_possible,
        max(p_present) as point,
        min(p_low) as low,
        max(p_high) as high
    from item_presence
    group by presence_key
    union all
    select
        possible(archetype, part, contact_code) as presence_key,
        true as is_possible,
        point,
        low,
        high
    from presence
)

select
    (row_number() over (order by presence_key))::integer as presence_id,
    presence_key,
    is_possible,
    point,
    low,
    high
from ranges
