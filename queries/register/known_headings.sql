-- Headings that surveyors and landlords write, with the fields that they can mean, the likeliest first. One row per
-- kind of file, heading and field.
select
    kind,
    field,
    heading
from reference.headings
order by kind, heading, nth, field
