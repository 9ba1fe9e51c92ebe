-- Which parameters apply to a property. One row per property. Properties that share dwelling and area have the same
-- rates of work and share a stratum, numbered in the order of their names.
with located as (
    select
        p.property_ref,
        p.building_ref,
        p.area,
        p.archetype,
        p.part,
        p.construction,
        p.oldest_year,
        case
            when p.part in ('common parts', 'non-domestic') then 'common parts'
            when p.part = 'garage' then 'garage'
            when p.dwelling_type = 'bungalow' then 'bungalow'
            when p.dwelling_type in ('flat', 'maisonette', 'sheltered unit') then 'flat'
            else 'house'
        end as dwelling,
        coalesce(p.oldest_year, 0) < m.first_year_without as is_before_2000,
        e.era
    from properties as p
    cross join model as m
    inner join reference.positive_share_eras as e on coalesce(p.oldest_year, 0) between e.from_year and e.to_year
),

strata as (
    select
        dwelling,
        area,
        (row_number() over (order by dwelling, area))::integer as stratum_id
    from located
    group by dwelling, area
)

select
    l.*,
    s.stratum_id
from located as l
inner join strata as s on l.dwelling = s.dwelling and l.area = s.area
