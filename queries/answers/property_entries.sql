-- Every register row about a property, the latest first. One row per entry.
-- $property_ref: which property
select
    e.*,
    s.sha256
from entries as e
inner join source_files as s on e.path = s.path and e.sheet is not distinct from s.sheet
where e.property_ref = $property_ref
order by e.surveyed_on desc nulls last, e.path, e.sheet, e.row_number
