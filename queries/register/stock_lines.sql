-- The property lists under our field names, as written. One row per raw row of a stock sheet with a heading.
-- Kept as a step.
with positions as (
    from (
        pivot headings
        on field in (
            'property_ref', 'uprn', 'address', 'postcode', 'area', 'dwelling_type', 'part', 'built_year',
            'building_ref', 'building_name', 'archetype', 'easting', 'northing',
            'oldest_part', 'tenure', 'construction', 'occupants'
        )
        using max(position) as at
        group by path, sheet
    )
)

select
    r.path,
    r.sheet,
    r.row_number,
    r.row_number <= h.heading_row as is_layout,
    nullif(trim(r.cells[p.property_ref_at]), '') as property_ref,
    nullif(trim(r.cells[p.uprn_at]), '') as uprn,
    nullif(trim(r.cells[p.address_at]), '') as address,
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
from raw_rows as r
inner join heading_rows as h on r.path = h.path and r.sheet is not distinct from h.sheet
inner join positions as p on r.path = p.path and r.sheet is not distinct from p.sheet
where h.kind = 'stock'
