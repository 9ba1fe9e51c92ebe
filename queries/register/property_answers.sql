-- What a person answered. One row per way in which a register or job list names a property and that a correction is
-- about: the one that says most, else the last one.
-- Kept as a step.
with named as (
    select
        named_id,
        lower(trim(regexp_replace(property_ref, '\s+', ' ', 'g'))) as property_ref,
        lower(trim(regexp_replace(uprn, '\s+', ' ', 'g'))) as uprn,
        lower(trim(regexp_replace(address, '\s+', ' ', 'g'))) as address,
        lower(trim(regexp_replace(postcode, '\s+', ' ', 'g'))) as postcode
    from named_properties
),

usable as (
    select
        path,
        sheet,
        row_number,
        property_ref,
        struct_pack(
            property_ref := said_property_ref, uprn := said_uprn, address := said_address, postcode := said_postcode
        ) as said,
        struct_pack(
            property_ref := said_property_ref is not null,
            uprn := said_uprn is not null,
            address := said_address is not null,
            postcode := said_postcode is not null
        ) as fields,
        len(
            list_filter(
                [said_property_ref, said_uprn, said_address, said_postcode], lambda one: one is not null
            )
        ) as n_said
    from corrections_properties
    where reason_code is null
),

asked as (
    select distinct fields
    from usable
),

ways as (
    select
        n.named_id,
        f.fields,
        struct_pack(
            property_ref := case when f.fields.property_ref then n.property_ref end,
            uprn := case when f.fields.uprn then n.uprn end,
            address := case when f.fields.address then n.address end,
            postcode := case when f.fields.postcode then n.postcode end
        ) as said
    from named as n
    cross join asked as f
)

select
    w.named_id,
    u.property_ref,
    u.path,
    u.sheet,
    u.row_number
from ways as w
inner join usable as u on w.fields = u.fields and w.said = u.said
qualify row_number() over (
    partition by w.named_id order by u.n_said desc, u.path desc, u.sheet desc, u.row_number desc
) = 1
