-- One row per contact code, product, damage, sealing and reach. The distinct ways in which items release fibres when
-- touched, and that of an undamaged, sealed item of usual reach and extent for what was never looked for.
with met as (
    select
        contact_code,
        product,
        damage,
        sealing,
        reach_percent
    from item_reaches
    union
    select
        contact_code,
        product,
        '0' as damage,
        'sealed' as sealing,
        100 as reach_percent
    from reference.contact_codes
)

select
    (row_number() over (order by contact_code, product, damage, sealing, reach_percent))::integer as profile_id,
    contact_code,
    product,
    damage,
    sealing,
    reach_percent
from met
