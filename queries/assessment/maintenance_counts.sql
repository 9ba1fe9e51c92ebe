-- How often work is done to the fabric of a property. One row per property with work in the job lists.
-- Kept as a step.
with span as (
    select greatest(datediff('day', min(done_on), max(done_on)) / 365.25, 1.0) as years
    from jobs
),

on_fabric as (
    select distinct
        path,
        sheet,
        row_number,
        property_ref
    from jobs
    where work_type <> 'none'
)

select
    f.property_ref,
    count(*) / max(s.years) as jobs_per_year
from on_fabric as f
cross join span as s
group by f.property_ref
