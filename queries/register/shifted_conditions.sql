-- One row per register row whose condition is of a scale from 1 to 4. Three rows or more, one below the other, state
-- totals that all agree with their four scores only where one is taken from the condition.
-- Kept as a step.
with figures as (
    select
        path,
        sheet,
        table_id,
        row_number,
        try_cast(coalesce(damage_score, damage) as integer) as condition,
        try_cast(product_type_score as integer) + condition
        + try_cast(coalesce(surface_treatment_score, surface) as integer) + try_cast(asbestos_type_score as integer)
        - try_cast(material_score as integer) as beyond
    from register_lines
    where line = 'item' and material_score is not null and product_type_score is not null
),

runs as (
    select
        *,
        row_number() over (partition by table_id order by row_number)
        - row_number() over (partition by table_id, beyond order by row_number) as run
    from figures
    where beyond is not null
)

select
    path,
    sheet,
    row_number
from runs
where beyond = 1
qualify
    count(*) over (partition by table_id, run) >= 3
    and min(condition) over (partition by table_id, run) >= 1
