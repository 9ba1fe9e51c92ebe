-- What an address of a block itself says. One row per building with several properties and claim that means its common
-- parts; a name that other buildings have as well names none surely. Garages beside a block of its name are not meant.
-- Kept as a step.
with homes as (
    select
        p.building_ref,
        p.part,
        c.unit,
        c.name,
        c.rest,
        c.postcode_key
    from stock_properties as p
    inner join stock_claims as c on p.address = c.address and p.postcode is not distinct from c.postcode
    where c.likeness not in ('role', 'joined')
),

said as (
    select
        building_ref,
        case when contains(unit, ' of ') then regexp_replace(unit, '^.*? of ', '') else '' end as unit,
        name,
        rest,
        postcode_key
    from homes
    where part <> 'common parts'
    union all
    select
        building_ref,
        replace(unit, 'common:', '') as unit,
        name,
        rest,
        postcode_key
    from homes
    where part = 'common parts'
    union all
    select
        p.building_ref,
        c.unit,
        c.name,
        '' as rest,
        c.postcode_key
    from stock_properties as p
    inner join stock_claims as c on p.building_name = c.address and p.postcode is not distinct from c.postcode
),

garages as (
    select building_ref
    from stock_properties
    group by building_ref
    having bool_and(part = 'garage')
),

named as (
    select
        s.*,
        g.building_ref is not null as is_of_garages,
        bool_and(is_of_garages) over (partition by s.unit, s.name, s.postcode_key) as are_garages_alone
    from said as s
    left join garages as g on s.building_ref = g.building_ref
)

select distinct
    n.building_ref,
    b.property_ref,
    n.unit,
    n.name,
    n.rest,
    n.postcode_key
from named as n
left join block_parts as b on n.building_ref = b.building_ref
where not n.is_of_garages or n.are_garages_alone
