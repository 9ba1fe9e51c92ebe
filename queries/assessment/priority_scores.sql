-- One row per item that may be asbestos. The priority assessment (HSG227): the average of each of four groups of
-- factors, rounded to 0-3, and their sum.
-- $priority_rounding: up, or nearest (halves up); the printed rule could not be checked
-- Kept as a step.
with averaged as (
    select
        f.item_id,
        g.factor_group,
        sum(f.score) as score_sum,
        sum(f.low) as low_sum,
        sum(f.high) as high_sum,
        count(*) as n
    from priority_factors as f
    inner join reference.priority_factors as g on f.factor = g.factor
    group by f.item_id, g.factor_group
),

rounded as (
    select
        item_id,
        case when $priority_rounding = 'up' then (score_sum + n - 1) // n else (2 * score_sum + n) // (2 * n) end
            as score,
        case when $priority_rounding = 'up' then (low_sum + n - 1) // n else (2 * low_sum + n) // (2 * n) end as low,
        case when $priority_rounding = 'up' then (high_sum + n - 1) // n else (2 * high_sum + n) // (2 * n) end as high
    from averaged
),

assumed as (
    select
        item_id,
        coalesce(list(factor order by factor) filter (where is_assumed), []) as priority_assumed
    from priority_factors
    group by item_id
),

summed as (
    select
        item_id,
        sum(score)::integer as priority_score,
        sum(low)::integer as priority_low,
        sum(high)::integer as priority_high
    from rounded
    group by item_id
)

select
    s.*,
    a.priority_assumed
from summed as s
inner join assumed as a on s.item_id = a.item_id
