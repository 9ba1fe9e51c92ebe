-- One row per entry, or row of the stock list, and doubt about a field: what was read with a flag in the rows about a
-- property, why, and who accepted it or said otherwise. A doubt of the stock list has no entry.
-- $property_ref: which property
with abouts as (
    select
        entry_id,
        path,
        sheet,
        row_number
    from entries
    where property_ref = $property_ref
    union all
    select
        null as entry_id,
        path,
        sheet,
        row_number
    from properties
    where property_ref = $property_ref and not is_derived
)

select
    a.entry_id,
    a.path,
    a.sheet,
    a.row_number,
    d.doubt,
    d.field,
    d.kind,
    d.reason,
    d.accepted_by,
    d.accepted_on,
    d.accepted_why
from abouts as a
inner join doubts as d
    on a.path = d.path and a.sheet is not distinct from d.sheet and a.row_number = d.row_number
order by a.entry_id nulls first, d.field, d.kind, d.reason
