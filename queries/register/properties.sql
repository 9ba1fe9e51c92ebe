-- What the landlord owns. One row per property of the stock list, and per block whose common parts a register or job
-- list names though the stock list does not have them; these are in the block's area.
select
    * exclude (building_name),
    false as is_derived
from stock_properties
union all by name
select
    b.property_ref,
    b.building_ref,
    b.address,
    b.postcode,
    a.area,
    'other' as dwelling_type,
    'common parts' as part,
    p.construction,
    p.built_year,
    p.oldest_year,
    concat_ws(', ', 'common parts', p.archetype) as archetype,
    p.latitude,
    p.longitude,
    p.path,
    p.sheet,
    p.row_number,
    true as is_derived
from block_parts as b
inner join stock_properties as p on b.first_ref = p.property_ref
inner join building_areas as a on b.building_ref = a.building_ref
where
    b.is_derived
    and exists (
        from property_matches as m
        where b.property_ref = m.found
    )
