-- One row per entry about an item. Rows about materials, with what they name: rows that name the same property, room
-- as written, product and part name one thing; from a row on that a person said to be new, those written like it name
-- another. A sheet of results names again what stands on other sheets of its workbook.
-- Kept as a step.
with written as (
    select
        r.entry_id,
        r.path,
        r.sheet,
        r.building_ref,
        r.property_ref,
        coalesce(r.place, 'other') as place_key,
        trim(regexp_replace(lower(coalesce(r.room_text, '')), '[^a-z0-9]+', ' ', 'g')) as room,
        r.product,
        c.contact_code,
        coalesce(r.surveyed_on, '9999-12-31'::date) as visit_on,
        r.extent,
        r.extent_unit,
        case when not r.is_reference then upper(r.sample_ref) end as sample_ref,
        upper(r.organisation || ' ' || r.item_ref) as item_number,
        coalesce(r.extent::varchar, r.damage_text, r.surface_text) is null as is_result_alone,
        r.is_suspect or r.identification = 'not_detected' as is_claim,
        concat_ws('; ', r.property_ref, place_key, room, r.product, coalesce(c.contact_code, '')) as written_id
    from readings as r
    left join contact_codes_met as c
        on
            r.product = c.product
            and coalesce(r.place, 'other') = c.place
            and coalesce(r.element, '') = c.element
    left join reported_fates as f on r.entry_id = f.entry_id
    where r.product is not null and (is_claim or f.fate is not null)
),

sampled_again as (
    select
        b.entry_id,
        arg_min(
            struct_pack(place_key := a.place_key, room := a.room, contact_code := a.contact_code), a.entry_id
        ) as thing,
        min(a.written_id) as written_id
    from written as b
    inner join written as a
        on b.path = a.path and b.property_ref = a.property_ref and b.product = a.product and b.sample_ref = a.sample_ref
    where b.is_result_alone and not a.is_result_alone and b.sheet <> a.sheet
    group by b.entry_id
    having count(distinct a.written_id) = 1
),

about_items as (
    select
        w.* exclude (is_result_alone) replace (
            coalesce(s.thing.place_key, w.place_key) as place_key,
            coalesce(s.thing.room, w.room) as room,
            case when s.entry_id is null then w.contact_code else s.thing.contact_code end as contact_code,
            coalesce(s.written_id, w.written_id) as written_id
        )
    from written as w
    left join sampled_again as s on w.entry_id = s.entry_id
),

said_new as (
    select
        a.written_id,
        list(distinct a.visit_on order by a.visit_on) as days
    from about_items as a
    inner join corrections_links as c on a.entry_id = c.entry_id
    where c.is_new and c.reason_code is null
    group by a.written_id
)

select
    a.* exclude (written_id),
    coalesce(len(list_filter(n.days, lambda day: day <= a.visit_on)), 0) as times_new,
    a.written_id || '; ' || times_new as thing_id
from about_items as a
left join said_new as n on a.written_id = n.written_id
