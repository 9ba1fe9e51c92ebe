-- What was read with a flag in the rows about a property, why, and who accepted it or said otherwise. One row per entry
-- and doubt about a field.
-- $property_ref: which property
select
    e.entry_id,
    d.doubt,
    d.field,
    d.kind,
    d.reason,
    d.accepted_by,
    d.accepted_on,
    d.accepted_why
from entries as e
inner join doubts as d
    on e.path = d.path and e.sheet is not distinct from d.sheet and e.row_number = d.row_number
where e.property_ref = $property_ref
order by e.entry_id, d.field, d.kind, d.reason
