-- What may be done at an item, what must not, what to ask first. One row per act.
-- $item_id: which item
select
    g.act,
    coalesce(g.may, '') as may,
    coalesce(g.must_not, '') as must_not,
    coalesce(g.ask_first, '') as ask_first,
    g.because,
    g.source
from items as i
inner join reference.guidance as g
    on
        i.product = g.product
        and (g.element_or_place_code is null or i.contact_code = g.element_or_place_code)
where i.item_id = $item_id
order by g.element_or_place_code nulls last, g.act
