-- Things that a person said are one, in corrections/links.csv. One row per two things.
select distinct
    a.property_ref,
    a.thing_id,
    b.thing_id as same_as
from corrections_links as c
inner join item_rows as a on c.entry_id = a.entry_id
inner join item_rows as b on c.same_as = b.entry_id
where c.reason_code is null and a.thing_id <> b.thing_id and a.property_ref = b.property_ref
order by a.property_ref, a.thing_id, same_as
