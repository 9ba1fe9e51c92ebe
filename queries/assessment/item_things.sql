-- One row per thing. What rows name alike, with the identity of the item that it is unless it is found to be an
-- earlier one. Its number counts those of one place and product from the first seen on, so that later files change no
-- earlier number.
-- Kept as a step.
with things as (
    select
        thing_id,
        building_ref,
        property_ref,
        place_key,
        room,
        product,
        contact_code,
        times_new > 0 as is_new,
        bool_or(is_claim) as has_claim,
        min(visit_on) as first_on,
        arg_min(struct_pack(extent := extent), row(visit_on, -extent)).extent as first_extent
    from item_rows
    group by thing_id, building_ref, property_ref, place_key, room, product, contact_code, times_new
),

numbered as (
    select
        *,
        min(first_on) over (partition by property_ref) as property_first_on,
        row_number() over (
            partition by building_ref, property_ref, place_key, product
            order by first_on, first_extent desc nulls last, room, contact_code, thing_id
        ) as ordinal
    from things
)

select
    thing_id,
    property_ref,
    place_key,
    room,
    product,
    contact_code,
    has_claim,
    first_on,
    not is_new and first_on - property_first_on >= k.value as is_found_later,
    left(sha256(concat_ws('|', building_ref, property_ref, place_key, product, ordinal)), 20) as item_id
from numbered
inner join reference.limits as k on k.name = 'link_days_least'
