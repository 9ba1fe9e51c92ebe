-- What was read with a flag in a row, why, and who accepted it or said otherwise. One row per doubt about a field.
-- $entry_id: which entry
-- $property_ref: its property, by which entries are kept
select
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
where e.property_ref = $property_ref and e.entry_id = $entry_id
order by d.field, d.kind, d.reason
