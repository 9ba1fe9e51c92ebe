-- Every used register row, read and scored. One row per register row used.
with flags as (
    select
        path,
        sheet,
        row_number,
        list(distinct field order by field) as doubts
    from doubts
    where accepted_by is null and kind <> 'corrected'
    group by path, sheet, row_number
)

select
    r.entry_id,
    r.path,
    r.sheet,
    r.row_number,
    r.part,
    r.property_ref,
    r.building_ref,
    r.match_method,
    l.item_id,
    r.survey_type,
    r.surveyed_on,
    r.surveyor,
    r.organisation,
    r.place,
    r.room_text,
    r.element,
    c.contact_code,
    r.product,
    r.product_text,
    r.is_debris,
    r.extent,
    r.extent_unit,
    r.accessibility,
    r.identification,
    r.asbestos_types,
    r.register_identification,
    r.register_types,
    r.sample_ref,
    s.product_type_score,
    -- what is clear has a condition too, where the register gives one
    coalesce(
        s.damage_score,
        case
            when r.is_suspect or r.identification = 'no_access' then null
            when r.damage_digit between 0 and 3 then r.damage_digit
            else d.score::integer
        end
    ) as damage_score,
    coalesce(
        s.surface_treatment_score,
        case
            when r.is_suspect or r.identification = 'no_access' then null
            when r.surface_digit between 0 and 3 then r.surface_digit
            else t.score::integer
        end
    ) as surface_treatment_score,
    s.asbestos_type_score,
    m.material_score,
    m.material_low,
    m.material_high,
    m.material_band,
    r.stated_material_score,
    r.stated_priority_score,
    r.recommendation,
    r.notes,
    coalesce(f.doubts, []) as doubts
from readings as r
left join contact_codes_met as c
    on
        r.product = c.product
        and coalesce(r.place, 'other') = c.place
        and coalesce(r.element, '') = c.element
left join item_links as l on r.entry_id = l.entry_id
left join reference.damage_scores as d on r.damage_term = d.damage
left join reference.surface_scores as t on r.product = t.product and r.surface_term = t.surface
left join sub_scores as s on r.entry_id = s.entry_id
left join material_scores as m on r.entry_id = m.id
left join flags as f
    on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
order by r.property_ref, r.entry_id
