-- What may be done at an item, what must not, what to ask first. One row per act.
-- $product: of the item
-- $contact_code: of the item
select
    a.in_words as act,
    coalesce(g.may, '') as may,
    coalesce(g.must_not, '') as must_not,
    coalesce(g.ask_first, '') as ask_first,
    g.because,
    g.source
from reference.guidance as g
inner join reference.acts as a on g.act = a.act
where g.product = $product and (g.element_or_place_code is null or g.element_or_place_code = $contact_code)
order by g.element_or_place_code nulls last, g.act
