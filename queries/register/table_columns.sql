-- One row per table. Where each field stands in a table, the first column 1; an address, notes and results may stand in
-- several, conditions of earlier visits too, of which the latest comes first, and an extent in one for each unit.
-- Kept as a step.
with fields as (
    select
        table_id,
        position,
        field,
        heading,
        sheet,
        confidence
    from columns_read
    union all
    select
        a.table_id,
        a.position,
        a.field,
        h.heading,
        h.sheet,
        h.confidence
    from also_read as a
    inner join columns_read as h on a.table_id = h.table_id and a.position = h.position
),

positions as (
    from (
        pivot (
            select
                table_id,
                position,
                field
            from fields
        )
        on field in (
            'property_ref', 'uprn', 'postcode', 'survey_type', 'surveyed_on', 'sent_on',
            'surveyor', 'organisation', 'floor',
            'room', 'position', 'product', 'product_beside', 'extent_unit', 'accessed', 'sampled',
            'strongly_presumed', 'visit_outcome', 'suspect_seen', 'asbestos_types',
            'scores_together',
            'sample_ref',
            'sample_like',
            'item_ref',
            'removed',
            'removed_on',
            'extent_removed',
            'extent_remaining',
            'damage',
            'damage_score',
            'product_type_score',
            'surface',
            'surface_treatment_score', 'asbestos_type_score', 'material_score', 'material_band', 'priority_score',
            'accessibility',
            'recommendation',
            'area', 'dwelling_type', 'part', 'built_year', 'building_ref', 'building_name', 'archetype', 'easting',
            'northing', 'oldest_part', 'tenure', 'construction', 'occupants', 'job_ref', 'raised_on', 'done_on',
            'trade', 'description', 'status', 'work_type', 'name', 'dwelling', 'contact_code', 'place', 'task',
            'control', 'point', 'low', 'high', 'n', 'analysed_on', 'property_ref_as_written', 'uprn_as_written',
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
        min(position) filter (
            where field = 'address' and regexp_matches(heading, '(?i)^\W*(flat|apartment|apt)\W*(no|nr|number)?\W*$')
        ) as flat_at,
        min(position) filter (
            where
            field = 'address' and regexp_matches(heading, '(?i)^\W*(garages?|lock-?ups?)\W*(no|nr|number)?s?\W*$')
        ) as garage_at,
        min(position) filter (
            where field = 'address' and regexp_matches(heading, '(?i)^\W*(site|survey|job)\W*(no|nr|number|ref)?\W*$')
        ) as site_at,
        coalesce(list(position order by position) filter (where field = 'identification'), []) as results_at,
        coalesce(list(position order by position) filter (where field = 'notes'), []) as notes_at,
        min(position) filter (
            where field = 'identification' and regexp_matches(heading, '(?i)\b(lab|analysis|sample result|outcome)')
        ) as outcome_at,
        -- that of results which asks whether there is a sample: `Tested?`
        min(position) filter (
            where
            field = 'identification'
            and regexp_matches(
                heading,
                '(?i)^\W*(was )?(bulk )?(tested|sampled|analysed|(test|sample|piece) (taken|cut)|cut)\W*(y\W*n\W*)?$'
            )
        ) as sampled_told_at,
        list(position order by confidence desc, position) filter (where field = 'damage_before') as damages_before_at,
        list(position order by confidence desc, position) filter (where field = 'surface_before')
            as surfaces_before_at,
        list(position order by confidence desc, position) filter (where field = 'surveyed_before')
            as visits_before_at,
        min(position) filter (
            where
            (field = 'surveyed_before' and regexp_matches(heading, '(?i)\bre-?insp'))
            -- done or due: it does not say
            or (field = 'surveyed_on' and regexp_matches(heading, '(?i)^\W*re-?insp(ection)?\W*$'))
        ) as reinspected_at,
        -- the year of the days below: `Seen (May 2026)`
        nullif(
            min(regexp_extract(heading, '\b((?:19|20)[0-9]{2})\b', 1)) filter (where field = 'surveyed_on'), ''
        ) as year_of_days,
        list(position order by confidence desc, position) filter (where field = 'reinspection') as reinspections_at,
        list(position order by confidence desc, position) filter (where field = 'identification_before')
            as results_before_at,
        list(position order by confidence desc, position) filter (where field = 'material_before')
            as materials_before_at,
        list(position order by confidence desc, position) filter (where field = 'extent_before') as extents_before_at,
        list(
            struct_pack(
                at := position,
                unit := nullif(
                    regexp_extract(
                        lower(heading),
                        '(?:^|\(|\bin |\s)(m2|m²|sq\.? ?m|sqm|lin\.? ?m|lm|m|nr|no|each)\.?'
                        || '(?:\s+unless \w+(?: \w+)?)?[)\]]?\s*$',
                        1
                    ), ''
                )
            )
            order by position
        ) filter (where field = 'extent') as extents,
        coalesce(
            bool_or(regexp_matches(concat_ws(' ; ', heading, sheet), '(?i)\b(not accessed|no access|inaccessible)\b')),
            false
        ) as is_of_no_access
    from fields
    group by table_id
)

select
    p.*,
    m.address_at,
    m.flat_at,
    m.garage_at,
    m.site_at,
    m.results_at,
    m.notes_at,
    m.outcome_at,
    m.sampled_told_at,
    m.damages_before_at,
    m.surfaces_before_at,
    m.visits_before_at,
    m.reinspected_at,
    m.year_of_days,
    m.reinspections_at,
    m.results_before_at,
    m.materials_before_at,
    m.extents_before_at,
    m.extents,
    m.is_of_no_access
from positions as p
inner join more as m on p.table_id = m.table_id
