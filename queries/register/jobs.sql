-- Work that was done, by what it does to the fabric. One row per job used.
select
    path,
    sheet,
    row_number,
    job_ref,
    property_ref,
    done_on,
    work_type,
    description
from jobs_read
where reason_code is null
