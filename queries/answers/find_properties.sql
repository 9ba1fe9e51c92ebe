-- Properties that have these words in their address, or this postcode, UPRN or reference. One row per property.
-- $text: what is looked for
-- $top: how many
with wanted as (
    select trim(regexp_replace(lower($text), '[^a-z0-9]+', ' ', 'g')) as words
),

near as (
    select
        property_ref,
        address,
        postcode,
        lower(property_ref) = lower(trim($text)) or coalesce(uprn::varchar = trim($text), false) as is_exact,
        trim(regexp_replace(lower(concat_ws(' ', address, postcode)), '[^a-z0-9]+', ' ', 'g')) as address_words
    from properties
)

select
    n.property_ref,
    n.address,
    n.postcode
from near as n
cross join wanted as w
where w.words <> '' and (n.is_exact or contains(n.address_words, w.words))
order by n.is_exact desc, length(n.address_words), n.address, n.property_ref
limit $top
