-- Which build this is, and the rule by which it rounds priority scores. One row per build (there is one).
select
    version,
    name,
    as_of,
    started_at,
    json_extract_string(settings, '$.priority_rounding') as priority_rounding
from runs
