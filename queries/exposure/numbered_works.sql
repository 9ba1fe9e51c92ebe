-- One row per kind of work that has profiles, with a number in the order of their names: millions of parts of sums are
-- gathered by it.
select
    work_type,
    (row_number() over (order by work_type))::integer as work_id
from exposure_profiles
group by work_type
