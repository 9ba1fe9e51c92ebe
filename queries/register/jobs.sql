-- Work that was done, by what it does to the fabric. One row per job used and work type; `none` touches no fabric.
select
    path,
    sheet,
    row_number,
    job_ref,
    property_ref,
    done_on,
    unnest(work_types) as work_type,
    description
from jobs_read
where reason_code is null
