-- Which parameters apply to a property. One row per property.
select
    property_ref,
    building_ref,
    area,
    archetype,
    part,
    construction,
    oldest_year,
    case
        when part in ('common parts', 'non-domestic') then 'common parts'
        when part = 'garage' then 'garage'
        when dwelling_type = 'bungalow' then 'bungalow'
        when dwelling_type in ('flat', 'maisonette', 'sheltered unit') then 'flat'
        else 'house'
    end as dwelling,
    coalesce(oldest_year, 0) < 2000 as is_before_2000,
    case
        when oldest_year is null or oldest_year <= 1985 then 'built to 1985 or unknown'
        when oldest_year < 2000 then 'built 1986 to 1999'
        else 'built from 2000'
    end as era
from properties
