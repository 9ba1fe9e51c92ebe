-- What a person said that a register row holds, and which fields that is about. One row per row and part corrected.
-- Kept as a step.
select
    row_path as path,
    row_sheet as sheet,
    row_of_sheet as row_number,
    part,
    struct_pack(
        product := max(value) filter (where field = 'product'),
        place := max(value) filter (where field = 'place'),
        identification := max(value) filter (where field = 'identification'),
        asbestos_types := max(value) filter (where field = 'asbestos_types'),
        extent := try_cast(max(value) filter (where field = 'extent') as double),
        extent_unit := max(value) filter (where field = 'extent_unit'),
        accessibility := try_cast(max(value) filter (where field = 'accessibility') as integer),
        product_type_score := try_cast(max(value) filter (where field = 'product_type_score') as integer),
        damage_score := try_cast(max(value) filter (where field = 'damage_score') as integer),
        surface_treatment_score := try_cast(max(value) filter (where field = 'surface_treatment_score') as integer),
        asbestos_type_score := try_cast(max(value) filter (where field = 'asbestos_type_score') as integer)
    ) as said,
    list(field order by field) as fields
from corrections_factors
where reason_code is null
group by row_path, row_sheet, row_of_sheet, part
