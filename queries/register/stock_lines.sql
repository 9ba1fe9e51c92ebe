-- The property lists under our field names, as written. One row per raw row of a stock sheet with a heading.
-- Kept as a step.
select
    r.path,
    r.sheet,
    r.row_number,
    r.line,
    nullif(trim(r.cells[p.property_ref_at]), '') as property_ref,
    nullif(trim(r.cells[p.uprn_at]), '') as uprn,
    nullif(
        array_to_string(
            list_filter(
                list_transform(p.address_at, lambda position: trim(r.cells[position])), lambda cell: cell <> ''
            ), ', '
        ), ''
    ) as address,
    nullif(trim(r.cells[p.postcode_at]), '') as postcode,
    nullif(trim(r.cells[p.area_at]), '') as area,
    nullif(trim(r.cells[p.dwelling_type_at]), '') as dwelling_type,
    nullif(trim(r.cells[p.part_at]), '') as part,
    nullif(trim(r.cells[p.built_year_at]), '') as built_year,
    nullif(trim(r.cells[p.building_ref_at]), '') as building_ref,
    nullif(trim(r.cells[p.building_name_at]), '') as building_name,
    nullif(trim(r.cells[p.archetype_at]), '') as archetype,
    nullif(trim(r.cells[p.easting_at]), '') as easting,
    nullif(trim(r.cells[p.northing_at]), '') as northing,
    nullif(trim(r.cells[p.oldest_part_at]), '') as oldest_part,
    nullif(trim(r.cells[p.tenure_at]), '') as tenure,
    nullif(trim(r.cells[p.construction_at]), '') as construction,
    nullif(trim(r.cells[p.occupants_at]), '') as occupants
from table_rows as r
left join table_columns as p on r.table_id = p.table_id
where r.kind = 'stock'
