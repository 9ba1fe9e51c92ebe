-- Where a doubt holds: the row, whose it is, and what was taken. One row per doubt about a field of a row and property
-- that the row is about.
-- $doubt: only this doubt, or null for all
with abouts as (
    select distinct
        path,
        sheet,
        row_number,
        property_ref
    from entries
    union
    select
        path,
        sheet,
        row_number,
        property_ref
    from properties
    where not is_derived
)

select
    d.path,
    d.sheet,
    d.row_number,
    a.property_ref,
    p.building_ref,
    p.address,
    d.field,
    d.kind,
    d.reason,
    d.accepted_by,
    d.accepted_on
from doubts as d
left join abouts as a
    on d.path = a.path and d.sheet is not distinct from a.sheet and d.row_number = a.row_number
left join properties as p on a.property_ref = p.property_ref
where $doubt is null or d.doubt = $doubt
order by d.path, d.sheet nulls first, d.row_number, d.field, d.kind, d.reason, a.property_ref
