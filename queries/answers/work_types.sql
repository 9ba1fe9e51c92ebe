-- The kinds of work. One row per work type.
select
    work_type,
    in_words,
    done_by
from reference.work_types
order by in_words
