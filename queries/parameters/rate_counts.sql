-- One row per work type, dwelling and area. How often work was done, and over how many property-years, where the job
-- lists speak of that kind of work; a job of two kinds counts once for each. Jobs whose words are not understood take
-- years away by their share among the jobs that touch fabric. Assumed of them: those whose words hold an act that opens
-- fabric (renew, fit, cut ...) touch it as often as the understood ones with such an act, the others do not. What
-- occupants do themselves stands in no job list, so it keeps its default.
-- Kept as a step.
with span as (
    select greatest(datediff('day', min(j.done_on), max(j.done_on)) + 1, max(l.value)) / 365.25 as years
    from jobs as j
    cross join reference.limits as l
    where l.name = 'job_days_least'
),

tallied as (
    select
        count(*) filter (where reason_code is null and not list_contains(work_types, 'none')) as n_on_fabric,
        count(*) filter (where reason_code is null and opens) as n_opening,
        count(*) filter (where reason_code is null and opens and not list_contains(work_types, 'none')) as n_both,
        count(*) filter (where reason_code = 'unknown_work' and opens) as n_unknown
    from jobs_read
),

understood as (
    select
        case
            when n_on_fabric = 0 then 1
            else n_on_fabric / (n_on_fabric + n_unknown * n_both / greatest(n_opening, 1))
        end as share
    from tallied
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
