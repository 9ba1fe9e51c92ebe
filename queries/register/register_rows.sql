-- One row per raw row of a register sheet with a heading. What the registers' rows say by themselves, under our field
-- names, as written.
-- Kept as a step.
with found as (
    select
        *,
        -- words where a reference is due are no reference; only `presumed` and the like are a result, as `none` says
        -- that no sample was taken, not that there is no asbestos
        case
            when letters <> ''
                then
                    lower(letters) in ('no', 'na')
                    or (
                        not is_lettered
                        and not list_has_all(laboratory_names, regexp_extract_all(upper(letters), '\b[A-Z]{1,2}\b'))
                    )
            else regexp_matches(sample_cell, '^[A-Za-z][A-Za-z /,().-]{2,}$')
        end as is_sample_in_words,
        case
            -- where nobody was, only the lines are numbered
            when is_of_no_access and nullif(cells[product_at], '') is null then null
            when not is_sample_in_words then sample_cell
        end as sample_ref,
        by_visit[1] as conditions,
        by_visit[2] as surfaces,
        damage_said is not null and conditions[1] is null as is_unchanged,
        list_filter(conditions, lambda cell: cell is not null)[1] as damage_found,
        -- who was not there this time has seen nothing since
        coalesce(
            own_day,
            reinspected_on,
            case
                when damage_said is null and len(damages_before_at) > 0
                    then filled(cells, visits_before_at)[1]
            end
        ) as surveyed_on
    from rows_by_visit
),

answered as (
    select
        *,
        told <> '' and (
            not regexp_matches(told, '\b(no|not|non|none|nothing|negative|free|nadi?s?)\b', 'i')
            or (
                (sample_ref is not null or regexp_matches(told, '\b[A-Z]{1,3}[-/.]?[0-9]{1,6}\b'))
                and not regexp_matches(
                    told, '\b(adjacent|adjoining|other|similar|neighbour\w*|next|elsewhere|same|as|see|not)\b', 'i'
                )
            )
        ) as is_told,
        coalesce(
            case
                when
                    (
                        regexp_full_match(
                            cells[accessed_at],
                            '(?i)n|no|false|refused|denied|not (gained|obtained|made|achieved|granted|given)|no\W+\D+'
                        )
                        or (is_of_no_access and nullif(cells[product_at], '') is null)
                    )
                    and not coalesce(regexp_matches(result, 'access', 'i'), false)
                    then concat_ws('; ', nullif(result, ''), 'not accessed')
                else nullif(result, '')
            end,
            case
                when
                    is_sample_in_words
                    and (
                        is_presumption_for_sample
                        or regexp_matches(
                            lower(sample_cell),
                            'presum|assum|^ass(''?d)?\.?$|access|positive|chrysotile|amosite|crocidolite'
                            || '|^asbestos detected'
                        )
                    )
                    then sample_cell
            end,
            nullif(struct_extract(presumed_as(cells[sample_ref_at]), 'said'), ''),
            -- a tick beside a blank result, as databases have it
            case
                when lower(cells[strongly_presumed_at]) in ('y', 'yes', 'true', 'x', '1', '-1') then 'strongly presumed'
            end,
            -- that nothing was seen, where no item stands
            case
                when
                    regexp_full_match(cells[suspect_seen_at], '(?i)\W*(n|no|none|nothing)\W*')
                    and concat_ws('', cells[product_at], asbestos_types, sample_cell) = ''
                    then 'no suspect materials'
            end,
            -- what came of the whole visit, where no item stands
            case
                when
                    cells[visit_outcome_at] <> ''
                    and concat_ws(
                        '', cells[room_at], cells[product_at], cells[position_at], asbestos_types, sample_cell
                    ) = ''
                    and regexp_matches(
                        cells[visit_outcome_at],
                        '(?i)\b(no|not|none|nothing|nil|unable)\b.*\b(access\w*|acms?|asbestos|suspect\w*|entry|enter)'
                        || '|\brefused\b|\bno (reply|answer|one in)\b|\bnobody in\b|\bcarded\b|\bcards? left\b'
                    )
                    then cells[visit_outcome_at]
            end,
            case
                when is_inaccessible or (is_of_no_access and coalesce(len(results_at), 0) = 0) then 'no access'
            end,
            case when coalesce(len(results_at), 0) = 0 then asbestos_types end,
            case
                when
                    (nullif(cells[product_at], '') is null or (is_all_in_one and product is null))
                    and asbestos_types is null
                    -- also where a description beside the material says it
                    and len(list_filter(
                        [concat_ws('; ', nullif(cells[damage_at], ''), notes), cells[position_at], cells[room_at]],
                        lambda text: regexp_matches(
                            text,
                            '(?i)^\W*((whole|entire|all( of)?)( the)? (unit|house|flat|property|home|dwelling)\W+)?'
                            || '((locked|no keys?|nobody in|tenant out|painted shut|screwed shut|stuck|blocked)'
                            || '\W+)?(no (access|entry)|not (accessed|entered|seen|inspected)|access (refused|denied)'
                            || '|(unable to|could not) (gain |get )?(access|in|enter))\b'
                        )
                    )) > 0
                    then 'no access'
                -- and where all of a home was looked at
                when
                    (
                        (is_all_in_one and product is null)
                        or (
                            nullif(cells[product_at], '') is null
                            and asbestos_types is null
                            and sample_cell is null
                            and regexp_matches(notes, '(?i)^\W*(nothing|no)\b')
                        )
                    )
                    and regexp_matches(
                        notes,
                        '(?i)\b(nothing|no) (is |looks |materials? |items? )?(suspect(ed)?|suspicious|acms?)\b'
                        || '|^\W*(nothing|no (asbestos|acms?)) (was )?(found|seen|noted|here)\b'
                    )
                    then 'nothing suspect'
                when
                    is_all_in_one
                    and regexp_matches(
                        cells[product_at],
                        '(?i)\b(no access|not (accessed|accessible|entered)|locked|no key|key not available'
                        || '|(unable to|could not) (gain |get )?(access|in|enter)|access not)\b'
                    )
                    then 'no access'
            end
        ) as identification_said
    from found
)

select
    table_id,
    path,
    sheet,
    coalesce(sheet, '') as sheet_key,
    row_number,
    line,
    first_said,
    property_ref,
    nullif(ltrim(cells[uprn_at], ''''), '') as uprn,
    address,
    nullif(cells[postcode_at], '') as postcode,
    nullif(cells[survey_type_at], '') as survey_type,
    nullif(cells[surveyor_at], '') as surveyor,
    nullif(cells[organisation_at], '') as organisation,
    case
        when is_all_in_one
            then
                coalesce(
                    nullif(
                        -- `Hall - meter cupboard, insulating board lining`
                        regexp_extract(
                            cells[room_at],
                            '(?i)^([^,;:]*?\s[-–—]+\s[^,;:]*\b(cupboard|cupbd|cpd|cpbd|fuse ?board'
                            || '|meter box|store|porch))\s*,',
                            1
                        ), ''
                    ),
                    nullif(regexp_extract(cells[room_at], '^(.*?)(\s+[-–—]+\s+|\s*[:;]\s+|$)', 1), '')
                )
        when regexp_matches(cells[room_at], '(?i)^\W*(other\b|various\b.*\b(see|refer)\b|various\W*$)')
            then coalesce(nullif(cells[position_at], ''), cells[room_at])
        when is_storey_alone then cells[position_at]
        else nullif(cells[room_at], '')
    end as room,
    if(is_storey_alone, null, nullif(cells[position_at], '')) as position,
    nullif(concat_ws(' / ', product, layer_unnamed(product, identification_said)), '') as product,
    coalesce(
        nullif(if(is_of_layers, cells[product_at], cells[product_beside_at]), ''),
        -- a result may say in what it was found: `chrysotile in textured coating`
        case
            when
                product is null
                and regexp_matches(identification_said, '(?i)\b(chrys|amos|croc|presum|positive|identified|contains)')
                and not regexp_matches(
                    identification_said, '(?i)\b(no|not|nil|none|nadi?s?|negative|access|accessed|behind|above|near)\b'
                )
                then identification_said
        end
    ) as product_beside,
    extent,
    extent is not null
    and extent_read is null
    and left_there is null
    and taken_out is null
    and extent_last is null
    and not (is_all_in_one and extents is null) as is_extent_in_notes,
    extent_last is not null and extent_read is null and extent = extent_last as is_extent_earlier,
    is_figure(taken_out) and left_there is null and not is_all_taken(extent_found, taken_out, left_there)
        as is_extent_of_before,
    unit_above is not null
    and struct_extract(extent_read, 'unit') is null
    and coalesce(regexp_full_match(extent, '\W*[0-9]+([.,][0-9]+)?'), false) as is_unit_above,
    coalesce(
        nullif(cells[extent_unit_at], ''),
        -- what nobody measured has none
        case
            when
                not coalesce(
                    regexp_matches(extent, '(?i)^\W*(not|never|un)\W?(measured|recorded|taken|known)\b'), false
                )
                then struct_extract(extent_read, 'unit')
        end,
        if(is_unit_above, unit_above, null)
    ) as extent_unit,
    asbestos_types,
    sample_ref,
    is_result_earlier,
    case
        when
            (is_cleared and len(affirmed) + len(presumed) > 0)
            or (len(affirmed) > 0 and len(denied) > 0)
            or (
                len(denied) > 0
                and regexp_matches(
                    array_to_string(telling, '; '), 'presum|assum|positive|chrys|amos|croc|identified', 'i'
                )
            )
            then array_to_string(results, '; ')
    end as results_contradicted,
    -- also what was sampled since it was presumed
    (
        coalesce(identification_said, asbestos_types) is null
        or (
            regexp_matches(coalesce(identification_said, asbestos_types), '^\W*(str\w*\.? )?presum', 'i')
            and regexp_matches(told, '^sampled.*\b[A-Z]{1,4}[-/.]?[0-9]', 'i')
        )
        -- that there is asbestos does not say how that is known
        or (
            sample_ref is null
            and regexp_matches(identification_said, '^\W*(y|yes|true)\W*$', 'i')
            and regexp_matches(told, '^(strongly )?presumed', 'i')
        )
    )
    and coalesce(is_told, false) as is_result_in_notes,
    case when is_result_in_notes then told else identification_said end as identification,
    sampled_said in ('y', 'yes', 'true') as is_sampled,
    nullif(cells[item_ref_at], '') as item_ref,
    nullif(regexp_replace(cells[job_ref_at], '\.0$', ''), '') as job_ref,
    case
        when lower(cells[removed_at]) in ('y', 'yes', 'true', 'x', '1') or cells[removed_on_at] <> ''
            then concat_ws(' ', 'removed', nullif(cells[removed_on_at], ''))
        when
            regexp_matches(
                cells[removed_at],
                '[0-9]{2}|remov|part|gone|taken out|taken down', 'i'
            )
            -- how much was taken out does not say that nothing is left
            and not regexp_matches(
                cells[removed_at],
                '^\W*[0-9.,]+\s*(m[2²]?|sq\.? ?m|sqm|lm|lin\.? ?m|no\.?|nr|each|off|sheets?|panels?)\W*$', 'i'
            )
            then 'removed ' || cells[removed_at]
        when gone is not null then 'removed: ' || gone
        when is_all_taken(extent_found, taken_out, left_there) then concat_ws(' ', 'removed', taken_out, 'nothing left')
        when is_figure(taken_out) then 'part removed, ' || taken_out
    end as removal,
    -- the record, not the material
    nullif(
        regexp_extract(
            cells[removed_at],
            '(?i)^.*\b(((keyed|entered|input|typed|recorded|created|raised)( here)?|set up) in error|do not use'
            || '|(record|entry|row) (is |was )?(cancelled|void(ed)?)|(cancelled|void) (record|entry|row))\b.*$'
        ), ''
    ) as record_void,
    surveyed_on,
    own_day is null and reinspected_on is null and surveyed_on is not null as is_visit_earlier,
    own_day is null and reinspected_on is not null as is_visit_reinspected,
    reinspected_on <> own_day or coalesce(len(filled(cells, reinspections_at)) > 0, false) as has_visit_beside,
    -- also a score beside a visit that could not see it
    (damage_said is null and damage_found is not null)
    or coalesce(
        is_not_seen(cells[damage_at])
        and not regexp_matches(cells[damage_at], '(?i)^\W*n/?a\W*$')
        and regexp_matches(cells[damage_score_at], '^\W*[0-3](\.0)?\W*$'), false
    )
        as is_damage_earlier,
    coalesce(damage_found, damage_said) as damage,
    case
        when not is_unchanged or cells[damage_at] <> ''
            then coalesce(
                if(damage_said is null and damage_found is not null, null, nullif(cells[damage_score_at], '')),
                scores[2]
            )
    end as damage_score,
    coalesce(nullif(cells[product_type_score_at], ''), scores[1]) as product_type_score,
    coalesce(
        list_filter(surfaces, lambda cell: cell is not null)[1],
        surface_said,
        -- where nothing has changed, the coating that the last visit told beside the damage
        case
            when is_unchanged and surfaces_before_at is null
                then nullif(surface_beside(damage_found), '')
        end
    ) as surface,
    coalesce(
        case when surfaces[1] is not null then nullif(cells[surface_treatment_score_at], '') end,
        scores[3],
        surface_option(cells[surface_at])
    )
        as surface_treatment_score,
    coalesce(nullif(cells[asbestos_type_score_at], ''), scores[4]) as asbestos_type_score,
    -- beside four scores in one cell, their total may stand
    coalesce(
        case
            when scores_together(cells[material_score_at]) is null then nullif(cells[material_score_at], '')
            else total_beside(cells[material_score_at])
        end,
        total_beside(cells[scores_together_at])
    ) as material_score,
    coalesce(nullif(cells[material_band_at], ''), material_score) as material_band,
    nullif(cells[priority_score_at], '') as priority_score,
    nullif(cells[accessibility_at], '') as accessibility,
    nullif(cells[recommendation_at], '') as recommendation,
    -- and what the last re-inspection says that is not as it was
    nullif(
        concat_ws(
            '; ',
            notes,
            're-inspection: '
            || list_filter(filled(cells, reinspections_at), lambda cell: not is_as_it_was(cell))[1]
        ), ''
    ) as notes,
    concat_ws('|', property_ref, uprn, address) as said_property,
    line = 'item' and coalesce(property_ref, uprn, address) is not null as names_property
from answered
