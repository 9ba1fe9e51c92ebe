-- One row per distinct reference, UPRN, address and postcode as written in a register or job list. Which property a
-- row means: by reference, else UPRN, else exact address.
-- Kept as a step.
with by_reference as (
    select
        n.*,
        p.property_ref as found
    from named_properties as n
    inner join properties as p on upper(regexp_replace(n.property_ref, '\s+', '', 'g')) = p.property_ref
),

by_uprn as (
    select
        n.*,
        min(p.property_ref) as found,
        count(*) as n_found,
        string_agg(p.property_ref, ', ' order by p.property_ref) as candidates
    from named_properties as n
    inner join properties as p on try_cast(n.uprn as bigint) = p.uprn
    group by all
),

stock_keys as (
    select
        p.property_ref,
        k.address_key,
        k.postcode_key
    from properties as p
    inner join property_keys as k on p.address = k.address and p.postcode is not distinct from upper(k.postcode)
),

by_address as (
    select
        n.*,
        min(s.property_ref) as found,
        count(distinct s.property_ref) as n_found,
        string_agg(distinct s.property_ref, ', ' order by s.property_ref) as candidates
    from named_properties as n
    inner join property_keys as k on n.address = k.address and n.postcode is not distinct from k.postcode
    inner join stock_keys as s
        on
            k.address_key = s.address_key
            and coalesce(k.postcode_key = s.postcode_key, true)
    group by all
),

together as (
    select
        n.*,
        r.found as by_reference,
        case when u.n_found = 1 then u.found end as by_uprn,
        case when a.n_found = 1 then a.found end as by_address,
        case when coalesce(u.n_found, 0) > 1 then u.candidates else a.candidates end as candidates
    from named_properties as n
    left join by_reference as r
        on
            n.property_ref = r.property_ref
            and n.uprn is not distinct from r.uprn
            and n.address is not distinct from r.address
            and n.postcode is not distinct from r.postcode
    left join by_uprn as u
        on
            n.uprn = u.uprn
            and n.property_ref is not distinct from u.property_ref
            and n.address is not distinct from u.address
            and n.postcode is not distinct from u.postcode
    left join by_address as a
        on
            n.address = a.address
            and n.property_ref is not distinct from a.property_ref
            and n.uprn is not distinct from a.uprn
            and n.postcode is not distinct from a.postcode
)

select
    property_ref,
    uprn,
    address,
    postcode,
    coalesce(by_reference, by_uprn, by_address) as found,
    case
        when by_reference is not null then 'reference'
        when by_uprn is not null then 'uprn'
        when by_address is not null then 'address'
    end as match_method,
    candidates,
    coalesce(by_uprn <> found, false) or coalesce(by_address <> found, false)
    or (property_ref is not null and by_reference is null and found is not null) as is_contradicted
from together
