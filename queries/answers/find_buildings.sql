-- One row per building. Buildings that hold a property with these words in its address, or with this postcode, UPRN or
-- reference. `property_ref` is the home or part that is meant, where only one has that reference or those words.
-- $text: what is looked for
-- $top: how many
with wanted as (
    select trim(regexp_replace(lower($text), '[^a-z0-9]+', ' ', 'g')) as words
),

near as (
    select
        p.building_ref,
        p.property_ref,
        lower(p.property_ref) = lower(trim($text)) or p.uprn::varchar = trim($text)
        or lower(p.building_ref) = lower(trim($text)) as is_exact,
        trim(regexp_replace(lower(concat_ws(' ', b.name, p.address, p.postcode)), '[^a-z0-9]+', ' ', 'g'))
            as address_words
    from properties as p
    inner join buildings as b on p.building_ref = b.building_ref
)

select
    n.building_ref,
    coalesce(
        min(n.property_ref) filter (where n.is_exact),
        case
            when count(*) filter (where contains(' ' || n.address_words || ' ', ' ' || w.words || ' ')) = 1
                then min(n.property_ref) filter (where contains(' ' || n.address_words || ' ', ' ' || w.words || ' '))
        end
    ) as property_ref,
    b.name,
    b.area,
    bool_or(n.is_exact) as is_exact
from near as n
inner join buildings as b on n.building_ref = b.building_ref
cross join wanted as w
where w.words <> '' and (n.is_exact or contains(n.address_words, w.words))
group by n.building_ref, b.name, b.area
order by is_exact desc, min(length(n.address_words)), b.name, n.building_ref
limit $top
