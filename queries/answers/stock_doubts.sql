-- What was read with a flag in a property's row of the stock list, why, and who accepted it. One row per doubt.
-- $property_ref: which property
select
    d.path,
    d.sheet,
    d.row_number,
    d.doubt,
    d.field,
    d.kind,
    d.reason,
    d.accepted_by,
    d.accepted_on,
    d.accepted_why
from properties as p
inner join doubts as d
    on p.path = d.path and p.sheet is not distinct from d.sheet and p.row_number = d.row_number
where p.property_ref = $property_ref and not p.is_derived
order by d.field, d.kind, d.reason
