-- The common parts of blocks: those of the stock list, else one for the block, named after it. One row per property
-- that is, or would be, the common parts of a building with several properties.
-- Kept as a step.
with buildings_met as (
    select
        building_ref,
        count(*) as properties,
        bool_or(part = 'common parts') as has_common_parts,
        coalesce(min(building_name), min(address)) as name,
        min(property_ref) as first_ref
    from stock_properties
    group by building_ref
),

own as (
    select
        building_ref,
        property_ref,
        address,
        postcode,
        property_ref as first_ref,
        false as is_derived
    from stock_properties
    where part = 'common parts' or property_ref = building_ref || '-COMMON-PARTS'
),

derived as (
    select
        b.building_ref,
        b.building_ref || '-COMMON-PARTS' as property_ref,
        'Common parts, ' || b.name as address,
        p.postcode,
        b.first_ref,
        true as is_derived
    from buildings_met as b
    inner join stock_properties as p on b.first_ref = p.property_ref
    where
        b.properties > 1
        and not exists (
            from own
            where b.building_ref = own.building_ref
        )
)

from own
union all
from derived
