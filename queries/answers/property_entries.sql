-- Every register row about a property, the latest first. One row per entry.
-- $property_ref: which property
select
    e.*,
    s.sha256,
    l.reason as link_reason,
    l.strength as link_strength
from entries as e
inner join source_files as s on e.path = s.path and e.sheet is not distinct from s.sheet
left join item_links as l on e.entry_id = l.entry_id and l.property_ref = $property_ref
where e.property_ref = $property_ref
order by e.surveyed_on desc nulls last, e.path, e.sheet, e.row_number
