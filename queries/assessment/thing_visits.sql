-- One row per thing and day of visit. What each visit says of a thing, in the properties where a later visit names
-- things that the first did not.
-- Kept as a step.
select
    thing_id,
    property_ref,
    visit_on,
    count(*) as n_rows,
    case
        when count(extent) = count(*) and count(distinct extent_unit) <= 1
            then sum(extent::decimal(18, 4))::double
    end as extent,
    min(extent_unit) as extent_unit,
    list(distinct sample_ref order by sample_ref) filter (where sample_ref is not null) as samples,
    list(distinct item_number order by item_number) filter (where item_number is not null) as numbers
from item_rows
where
    property_ref in (
        select property_ref
        from item_things
        where is_found_later
    )
    or thing_id in (
        select r.thing_id
        from corrections_links as c
        inner join item_rows as r on r.entry_id in (c.entry_id, c.same_as)
    )
group by thing_id, property_ref, visit_on
