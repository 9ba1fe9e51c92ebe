-- One row per distinct reference, UPRN, address and postcode as written, with the flat that the room begins with where
-- the address has none. The ways in which registers, job lists and laboratories name a property.
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
    union
    select
        property_ref,
        uprn,
        address,
        postcode,
        null as room_flat
    from sample_lines
    where line = 'item' and coalesce(property_ref, uprn, address) is not null
),

keyed as (
    select
        *,
        regexp_replace(
            regexp_replace(lower(address), '[^\p{L}\p{N}]*,[^\p{L}\p{N}]*', ',', 'g'), '[^\p{L}\p{N},]+', ' ', 'g'
        ) as said
    from named
),

stock as (
    select
        property_ref,
        upper(replace(property_ref, ' ', '')) as same,
        count(*) over (partition by same) = 1 as is_only,
        postcode,
        regexp_replace(
            regexp_replace(
                lower(concat_ws(', ', address, postcode)), '[^\p{L}\p{N}]*,[^\p{L}\p{N}]*', ',', 'g'
            ), '[^\p{L}\p{N},]+', ' ', 'g'
        ) as whole
    from stock_properties
)

select
    n.property_ref,
    n.uprn,
    n.address,
    n.postcode,
    n.room_flat,
    row_number() over (order by n.property_ref, n.uprn, n.address, n.postcode, n.room_flat) as named_id,
    -- an address that says what the property list says of the reference beside it need not be read
    case
        when
            n.room_flat is null
            and starts_with(s.whole || ',', n.said || ',')
            and coalesce(upper(n.postcode) = upper(s.postcode), true)
            then null
        when starts_with(n.room_flat, 'garage:')
            then 'Garage ' || substr(n.room_flat, 8) || ', ' || regexp_replace(n.address, '^\W*[A-Za-z-]+,?\s*', '')
        else coalesce('Flat ' || n.room_flat || ', ', '') || n.address
    end as address_read
from keyed as n
left join stock as s
    on upper(replace(n.property_ref, ' ', '')) = s.same and (s.is_only or n.property_ref = s.property_ref)
