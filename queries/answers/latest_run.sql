-- Which build this is. One row per build (there is one).
select
    version,
    name,
    as_of,
    started_at
from runs
