-- One row per source, stratum and cell of work. What was never looked for, by what it has in common: its source of the
-- chance of being there, and the rates of work; source and stratum have a number as well, from 0.
-- Kept as a step.
with met as (
    select distinct
        t.cell_id,
        t.presence_id,
        r.presence_key,
        r.point
    from building_terms as t
    inner join presence_ranges as r on t.presence_id = r.presence_id
    where r.is_possible
)

select
    (dense_rank() over (order by m.presence_id, s.stratum_id) - 1)::integer as possible_number,
    m.presence_id,
    m.presence_key,
    s.stratum_id,
    m.cell_id,
    m.point * s.exceedances as exceedances,
    m.point * s.controlled as exceedances_controlled
from met as m
inner join profile_sums as s on m.cell_id = s.cell_id
