-- One row per question and home, part or item that it may be about: the properties that may be meant, and the items
-- that rows may speak of.
with meant as (
    select
        kind,
        asked,
        unnest(answers) as cells,
        generate_subscripts(answers, 1) as nth
    from open_questions
    where kind in ('property', 'item link')
    union all
    select
        kind,
        asked,
        asked as cells,
        0 as nth
    from open_questions
    where kind = 'item link'
),

placed as (
    select
        m.kind,
        m.asked,
        m.nth,
        coalesce(e.property_ref, m.cells[1]) as property_ref,
        e.item_id
    from meant as m
    left join entries as e
        on
            m.kind = 'item link'
            and m.cells[1] = e.path
            and m.cells[2] = coalesce(e.sheet, '')
            and m.cells[3] = e.row_number::varchar
            and m.cells[4] = e.part::varchar
)

select
    a.kind,
    a.asked,
    p.property_ref,
    p.building_ref,
    p.address,
    a.item_id,
    a.kind = 'item link' and a.nth = 0 as is_asked
from placed as a
inner join properties as p on a.property_ref = p.property_ref
order by a.kind, a.asked, a.nth, a.property_ref, a.item_id
