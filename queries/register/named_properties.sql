-- One row per distinct reference, UPRN, address and postcode as written. The ways in which registers and job lists
-- name a property.
-- Kept as a step.
select
    property_ref,
    uprn,
    address,
    postcode
from register_lines
where line = 'item' and coalesce(property_ref, uprn, address) is not null
union
select
    property_ref,
    uprn,
    address,
    postcode
from works_lines
where line = 'item' and coalesce(property_ref, uprn, address) is not null
