-- What our work types are called. One row per work type and name.
select
    work_type,
    replace(work_type, '_', ' ') as written
from reference.work_types
union all
select
    work_type,
    in_words as written
from reference.work_types
