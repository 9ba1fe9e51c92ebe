-- The property lists under our field names, as written. One row per raw row of a stock sheet with a heading.
-- Kept as a step.
select
    r.path,
    r.sheet,
    r.row_number,
    r.line,
    nullif(r.cells[p.property_ref_at], '') as property_ref,
    nullif(ltrim(r.cells[p.uprn_at], ''''), '') as uprn,
    nullif(array_to_string(filled(r.cells, p.address_at), ', '), '') as address,
    nullif(r.cells[p.postcode_at], '') as postcode,
    nullif(r.cells[p.area_at], '') as area,
    nullif(r.cells[p.dwelling_type_at], '') as dwelling_type,
    nullif(r.cells[p.part_at], '') as part,
    nullif(r.cells[p.built_year_at], '') as built_year,
    nullif(r.cells[p.building_ref_at], '') as building_ref,
    nullif(r.cells[p.building_name_at], '') as building_name,
    nullif(r.cells[p.archetype_at], '') as archetype,
    nullif(r.cells[p.easting_at], '') as easting,
    nullif(r.cells[p.northing_at], '') as northing,
    nullif(r.cells[p.oldest_part_at], '') as oldest_part,
    nullif(r.cells[p.tenure_at], '') as tenure,
    nullif(r.cells[p.construction_at], '') as construction,
    nullif(r.cells[p.occupants_at], '') as occupants
from table_rows as r
left join table_columns as p on r.table_id = p.table_id
where r.kind = 'stock'
