-- One row per entry of a suspect material, and per item. The material assessment (HSG264): the sum of its four parts,
-- with the least and most that it can be where a part is missing or assumed.
-- Kept as a step.
with parts as (
    select
        entry_id as id,
        columns('(product_type|damage|surface_treatment|asbestos_type)_(score|low|high)')
    from sub_scores
    union all by name
    select
        item_id as id,
        columns('(product_type|damage|surface_treatment|asbestos_type)_(score|low|high)')
    from item_conditions
    where is_suspect
),

summed as (
    select
        id,
        product_type_score + damage_score + surface_treatment_score + asbestos_type_score as material_score,
        product_type_low + damage_low + surface_treatment_low + asbestos_type_low as material_low,
        product_type_high + damage_high + surface_treatment_high + asbestos_type_high as material_high
    from parts
)

select
    s.*,
    case when low.band = high.band then low.band end as material_band
from summed as s
inner join reference.material_bands as low on s.material_low between low.from_score and low.to_score
inner join reference.material_bands as high on s.material_high between high.from_score and high.to_score
