-- How often work is done to the fabric of a property. One row per property with work in the job lists.
-- Kept as a step.
with span as (
    select greatest(datediff('day', min(done_on), max(done_on)) / 365.25, 1.0) as years
    from jobs
)

select
    j.property_ref,
    count(*) / max(s.years) as jobs_per_year
from jobs as j
cross join span as s
where j.work_type <> 'none'
group by j.property_ref
