-- What the landlord owns, as the stock list says. One row per property of the stock list.
-- Kept as a step.
select
    s.property_ref,
    coalesce(s.building_ref, s.property_ref) as building_ref,
    s.uprn,
    s.address,
    s.postcode,
    coalesce(s.area, p.polygon_area, 'area not stated') as area,
    s.dwelling_type,
    s.part,
    s.tenure,
    s.construction,
    s.built_year,
    least(s.built_year, coalesce(s.oldest_part, s.built_year)) as oldest_year,
    s.occupants,
    coalesce(
        s.archetype,
        concat_ws(
            ', ',
            s.dwelling_type,
            coalesce(((s.built_year // 10) * 10)::varchar || 's', 'year unknown'),
            coalesce(s.area, p.polygon_area, 'area not stated')
        )
    ) as archetype,
    p.latitude,
    p.longitude,
    s.building_name,
    s.path,
    s.sheet,
    s.row_number
from stock_readings as s
left join property_points as p on s.property_ref = p.property_ref
where s.reason_code is null
