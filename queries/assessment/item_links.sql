-- Which item an entry is about: same property, room as written, product and contact code are one item. One row per
-- entry about an item.
with about_items as (
    select
        r.*,
        c.contact_code,
        trim(regexp_replace(lower(coalesce(r.room_text, '')), '[^a-z0-9]+', ' ', 'g')) as room,
        coalesce(r.place, 'other') as place_key
    from readings as r
    left join contact_codes_met as c
        on
            r.product = c.product
            and coalesce(r.place, 'other') = c.place
            and coalesce(r.element, '') = c.element
    where r.product is not null and (r.is_suspect or r.identification = 'not_detected')
),

things as (
    select
        building_ref,
        property_ref,
        place_key,
        room,
        product,
        contact_code,
        row_number() over (
            partition by building_ref, property_ref, place_key, product
            order by min(surveyed_on) nulls last, max(extent) desc nulls last, room, contact_code
        ) as ordinal
    from about_items
    group by building_ref, property_ref, place_key, room, product, contact_code
)

select
    a.entry_id,
    left(
        sha256(concat_ws('|', t.building_ref, t.property_ref, t.place_key, t.product, t.ordinal)), 20
    ) as item_id,
    (
        count(*) over (
            partition by t.property_ref, t.place_key, t.room, t.product, t.contact_code, a.surveyed_on, a.path, a.sheet
        )
    )::integer as rows_of_visit,
    'same property, room, product and kind of place' as reason,
    1.0::double as strength
from about_items as a
inner join things as t
    on
        a.property_ref = t.property_ref
        and a.place_key = t.place_key
        and a.room = t.room
        and a.product = t.product
        and a.contact_code is not distinct from t.contact_code
