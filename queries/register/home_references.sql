-- One row per used register row whose result is that of another home of the street or block, `same as no 2`, where the
-- file has one answer for such a material there: the types found or presumed, and in which row. Of several such items
-- those in the same room count; where they differ, or one has none, there is no answer.
-- Kept as a step.
with said as (
    select
        identification,
        lower(
            regexp_extract(
                identification,
                '^\W*(?i:(?:same )?as(?: (?:at|in|for))?)'
                || ' (?:(?i:flat|apartment|apt|house|bungalow|number|no)\b\.? ?)?([0-9]{1,4}[A-Za-z]?)',
                1
            )
        ) as number
    from (
        select distinct identification
        from register_lines
        where line = 'item'
    ) as written
    where refers_to_home(identification)
),

-- Few rows: those that refer, each with the home that it means.
referring as (
    select
        r.path,
        r.sheet,
        r.row_number,
        product.term as product,
        place.term as place,
        min(o.property_ref) as original_ref
    from register_lines as r
    inner join said as s on r.identification = s.identification
    inner join register_fates as f
        on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
    inner join stock_homes as h on f.property_ref = h.property_ref
    inner join stock_homes as o
        on
            h.name = o.name
            and h.postcode_key is not distinct from o.postcode_key
            and is_home_beside(h.unit, o.unit, s.number)
    inner join recognised_words as product on product.field = 'product' and r.product = product.written
    left join recognised_words as place on place.field = 'place' and r.room = place.written
    where h.property_ref <> o.property_ref and product.term is not null
    group by r.path, r.sheet, r.row_number, product.term, place.term
    having count(distinct o.property_ref) = 1
),

originals as (
    select
        g.path,
        g.sheet,
        g.row_number,
        place.term = g.place as is_in_room,
        max(coalesce(place.term = g.place, false)) over (
            partition by g.path, g.sheet, g.row_number
        ) as has_in_room,
        if(
            a.is_positive,
            a.types,
            list_filter(
                string_split(coalesce(type.term, in_result.term, ''), '+'),
                lambda one: one not in ('', 'none', 'unknown')
            )
        ) as types,
        concat_ws(', ', g.original_ref, o.path, o.sheet, 'row ' || o.row_number) as source
    from referring as g
    inner join register_fates as f on g.path = f.path and g.original_ref = f.property_ref
    inner join register_lines as o
        on f.path = o.path and f.sheet is not distinct from o.sheet and f.row_number = o.row_number
    inner join recognised_words as product
        on product.field = 'product' and o.product = product.written and g.product = product.term
    left join recognised_words as place on place.field = 'place' and o.room = place.written
    left join recognised_words as type on type.field = 'asbestos_type' and o.asbestos_types = type.written
    left join recognised_words as in_result
        on in_result.field = 'type_in_result' and o.identification = in_result.written
    left join analyses as a
        on f.path = a.path and f.sheet is not distinct from a.sheet and f.row_number = a.row_number
    where not f.is_layout and f.reason_code is null and not coalesce(refers_to_home(o.identification), false)
)

select
    path,
    sheet,
    row_number,
    min(types) as types_of_home,
    min(source) as home_source
from originals
where is_in_room or not has_in_room
group by path, sheet, row_number
having min(types) = max(types) and min(len(types)) > 0
