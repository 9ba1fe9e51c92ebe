-- What work the things of job descriptions are. One row per thing and word beside it, in the order that decides.
select
    object,
    standing,
    coalesce(beside, '') as beside,
    coalesce(work_type, '') as work_type,
    counts_from
from reference.job_objects
order by object, nth
