-- One row per distinct reference, UPRN, address and postcode as written, with the flat that the room begins with where
-- the address has none. The ways in which registers and job lists name a property.
-- Kept as a step.
with named as (
    select
        property_ref,
        uprn,
        address,
        postcode,
        room_flat
    from register_lines
    where line = 'item' and coalesce(property_ref, uprn, address) is not null
    union
    select
        property_ref,
        uprn,
        address,
        postcode,
        null as room_flat
    from works_lines
    where line = 'item' and coalesce(property_ref, uprn, address) is not null
)

select
    *,
    row_number() over (order by property_ref, uprn, address, postcode, room_flat) as named_id,
    coalesce('Flat ' || room_flat || ', ', '') || address as address_read
from named
