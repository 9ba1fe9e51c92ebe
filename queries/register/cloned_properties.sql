-- Homes that a register lists with another home's findings: they were not surveyed. One row per file, home and day of
-- survey.
-- Kept as a step.
select
    property_ref,
    path,
    sheet,
    surveyed_on,
    original_ref,
    'its rows say: ' || words as why
from referred_homes
union all
select
    a.property_ref,
    a.path,
    a.sheet,
    a.surveyed_on,
    a.original_ref,
    'all of its rows are those of ' || a.original_ref || ', '
    || case when a.is_by_samples then 'sample references too' else 'extents too' end as why
from alike_homes as a
where not exists (
    from referred_homes as r
    where
        a.path = r.path
        and a.property_ref = r.property_ref
        and a.surveyed_on is not distinct from r.surveyed_on
)
