-- One row per row of `numbered_parts`, with names. What each kind of work adds to a building at each kind of material.
-- Kept as a view.
select
    b.building_ref,
    m.contact_code,
    m.product,
    n.is_possible,
    w.work_type,
    n.exceedances
from numbered_parts as n
inner join building_numbers as b on n.building_id = b.building_id
inner join numbered_materials as m on n.material_id = m.material_id
inner join numbered_works as w on n.work_id = w.work_id
