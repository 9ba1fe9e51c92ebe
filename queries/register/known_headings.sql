-- Headings that surveyors and landlords write. One row per kind of file and heading.
select
    kind,
    field,
    heading
from reference.headings
order by kind, heading
