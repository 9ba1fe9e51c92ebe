-- One row per earlier and later thing of a property. Which things of an earlier visit, not named by a later one, may
-- be what that visit names for the first time, and how far they agree.
-- Kept as a step.
with limits as (
    select max(value) filter (where name = 'link_days_least')::integer as days_least
    from reference.limits
),

named as (
    select
        *,
        regexp_extract(room, '[0-9]+') as room_number,
        replace(regexp_extract(room, '\b(front|rear|back|left|right)\b'), 'back', 'rear') as room_side
    from item_things as t
    where
        t.property_ref in (
            select i.property_ref
            from item_things as i
            where i.is_found_later
        )
),

met as (
    select
        a.thing_id as earlier_id,
        b.thing_id as later_id,
        b.property_ref,
        b.first_on as visit_on,
        a.room as earlier_room,
        b.room as later_room,
        case
            when a.place_key in ('other', 'whole_home') or b.place_key in ('other', 'whole_home')
                then case when a.room = b.room and a.room <> '' then 'same' else 'open' end
            when a.place_key <> b.place_key then 'other'
            when
                (a.room_number <> '' and b.room_number <> '' and a.room_number <> b.room_number)
                or (a.room_side <> '' and b.room_side <> '' and a.room_side <> b.room_side)
                then 'differs'
            when a.room_number = b.room_number and a.room_side = b.room_side then 'same'
            else 'unnumbered'
        end as place,
        'whole_home' in (a.place_key, b.place_key) as is_throughout,
        case
            when a.contact_code = b.contact_code then 'same'
            when a.contact_code is null or b.contact_code is null or a.product <> b.product then 'unknown'
            else 'differs'
        end as contact,
        case
            when a.product = b.product then 'same'
            when 'other' in (a.product, b.product) then 'unknown'
            else 'family'
        end as product
    from named as b
    inner join named as a on b.property_ref = a.property_ref and b.is_found_later
    cross join limits as k
    left join reference.product_families as fa on a.product = fa.product
    left join reference.product_families as fb on b.product = fb.product
    where
        a.has_claim
        and b.first_on - a.first_on >= k.days_least
        and (a.product = b.product or 'other' in (a.product, b.product) or fa.family = fb.family)
        and not exists (
            from thing_visits as v
            where v.thing_id = a.thing_id and abs(v.visit_on - b.first_on) < k.days_least
        )
),

said as (
    select
        m.*,
        arg_max(v.n_rows, v.visit_on) as earlier_rows,
        arg_max(v.extent, v.visit_on) as earlier_extent,
        arg_max(v.extent_unit, v.visit_on) filter (where v.extent is not null) as earlier_unit,
        flatten(list(v.samples order by v.visit_on) filter (where v.samples is not null)) as earlier_samples,
        flatten(list(v.numbers order by v.visit_on) filter (where v.numbers is not null)) as earlier_numbers
    from met as m
    inner join thing_visits as v on m.earlier_id = v.thing_id and m.visit_on > v.visit_on
    group by all
)

select
    s.*,
    v.n_rows as later_rows,
    v.extent as later_extent,
    coalesce(
        v.extent > 0 and s.earlier_extent > 0 and coalesce(s.earlier_unit, '') = coalesce(v.extent_unit, ''), false
    ) as is_measured,
    greatest(v.extent, s.earlier_extent) / nullif(least(v.extent, s.earlier_extent), 0) as times,
    case
        when not is_measured then 'unknown'
        when times <= 1.01 then 'same'
        when times <= 1.15 then 'near'
        when times <= 1.5 then 'apart'
        when times <= 3 then 'far'
        else 'beyond'
    end as extent,
    case
        when list_has_any(s.earlier_samples, v.samples) then 'same'
        when len(s.earlier_samples) > 0 and len(v.samples) > 0 then 'differs'
        else 'unknown'
    end as sample,
    case when list_has_any(s.earlier_numbers, v.numbers) then 'same' else 'unknown' end as number
from said as s
inner join thing_visits as v on s.later_id = v.thing_id and s.visit_on = v.visit_on
