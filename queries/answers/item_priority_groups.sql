-- One row per group of an item's priority assessment: its average, and what that is rounded to, as the setting says.
-- $item_id: which item
with averaged as (
    select
        r.factor_group,
        sum(f.score)::integer as score_sum,
        sum(f.low)::integer as low_sum,
        sum(f.high)::integer as high_sum,
        count(*) as n
    from priority_factors as f
    inner join reference.priority_factors as r on f.factor = r.factor
    where f.item_id = $item_id
    group by r.factor_group
)

select
    a.factor_group,
    a.n,
    a.score_sum,
    a.score_sum / a.n as average,
    json_extract_string(s.settings, '$.priority_rounding') as rounding,
    if(rounding = 'up', (a.score_sum + a.n - 1) // a.n, (2 * a.score_sum + a.n) // (2 * a.n))::integer as score,
    if(rounding = 'up', (a.low_sum + a.n - 1) // a.n, (2 * a.low_sum + a.n) // (2 * a.n))::integer as low,
    if(rounding = 'up', (a.high_sum + a.n - 1) // a.n, (2 * a.high_sum + a.n) // (2 * a.n))::integer as high
from averaged as a
cross join runs as s
order by a.factor_group
