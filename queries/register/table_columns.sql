-- One row per table. Where each field stands in a table, the first column 1; an address may stand in several, an
-- extent in one for each unit.
-- Kept as a step.
with positions as (
    from (
        pivot (
            select
                table_id,
                position,
                field
            from headings
            union all
            select
                table_id,
                position,
                field
            from also_read
        )
        on field in (
            'property_ref', 'uprn', 'postcode', 'survey_type', 'surveyed_on', 'surveyor', 'organisation', 'floor',
            'room', 'position', 'product', 'extent', 'extent_unit', 'identification', 'asbestos_types',
            'sample_ref', 'item_ref', 'damage_before', 'damage', 'damage_score', 'product_type_score', 'surface',
            'surface_treatment_score', 'asbestos_type_score', 'material_score', 'material_band', 'priority_score',
            'accessibility', 'recommendation', 'notes',
            'area', 'dwelling_type', 'part', 'built_year', 'building_ref', 'building_name', 'archetype', 'easting',
            'northing', 'oldest_part', 'tenure', 'construction', 'occupants', 'job_ref', 'raised_on', 'done_on',
            'trade', 'description', 'status', 'work_type', 'name', 'dwelling', 'contact_code', 'task', 'control',
            'point', 'low', 'high', 'n', 'analysed_on', 'property_ref_as_written', 'uprn_as_written',
            'address_as_written', 'postcode_as_written', 'link_path', 'link_sheet', 'link_row', 'link_part',
            'item_path', 'item_sheet', 'item_row', 'item_part', 'corrected_field', 'corrected_value', 'accepted_doubt',
            'who', 'on', 'why', 'lab_ref', 'analysis_result', 'chrysotile', 'amosite', 'crocidolite', 'laboratory',
            'certificate_ref', 'analyst'
        )
        using max(position) as at
        group by table_id
    )
),

more as (
    select
        table_id,
        coalesce(list(position order by position) filter (where field = 'address'), []) as address_at,
        list(
            struct_pack(
                at := position,
                unit := nullif(
                    regexp_extract(
                        lower(heading), '(?:\(|\bin |\s)(m2|m²|sq\.? ?m|sqm|lin\.? ?m|lm|m|nr|no|each)\.?[)\]]?\s*$', 1
                    ), ''
                )
            )
            order by position
        ) filter (where field = 'extent') as extents,
        coalesce(
            bool_or(regexp_matches(concat_ws(' ; ', heading, sheet), '(?i)\b(not accessed|no access|inaccessible)\b')),
            false
        ) as is_of_no_access
    from headings
    group by table_id
)

select
    p.*,
    m.address_at,
    m.extents,
    m.is_of_no_access
from positions as p
inner join more as m on p.table_id = m.table_id
