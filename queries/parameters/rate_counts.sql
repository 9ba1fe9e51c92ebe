-- One row per work type, dwelling and area. How often work was done, and over how many property-years, where the job
-- lists speak of that kind of work. Jobs whose words are not understood are taken to be like the others: the years
-- shrink by their share. What occupants do themselves stands in no job list, so it keeps its default.
-- Kept as a step.
with span as (
    select greatest(datediff('day', min(done_on), max(done_on)) + 1, 30) / 365.25 as years
    from jobs
),

understood as (
    select
        count(*) filter (where reason_code is null)
        / greatest(count(*) filter (where reason_code is null or reason_code = 'unknown_work'), 1) as share
    from jobs_read
),

mentioned as (
    select distinct j.work_type
    from jobs as j
    inner join reference.work_types as w on j.work_type = w.work_type
    where w.done_by = 'trade'
),

homes as (
    select
        dwelling,
        area,
        count(*) as n_properties
    from property_cells
    group by dwelling, area
),

done as (
    select
        j.work_type,
        p.dwelling,
        p.area,
        count(*) as n
    from jobs as j
    inner join property_cells as p on j.property_ref = p.property_ref
    group by j.work_type, p.dwelling, p.area
)

select
    m.work_type,
    h.dwelling,
    h.area,
    coalesce(d.n, 0)::integer as n,
    (h.n_properties * s.years * u.share)::double as property_years,
    r.rate_per_year as default_rate,
    r.uncertainty_factor
from mentioned as m
cross join homes as h
cross join span as s
cross join understood as u
inner join reference.rates as r on m.work_type = r.work_type and h.dwelling = r.dwelling
left join done as d on m.work_type = d.work_type and h.dwelling = d.dwelling and h.area = d.area
where r.rate_per_year > 0
