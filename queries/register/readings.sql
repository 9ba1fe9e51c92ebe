-- One row per used register row, item written across it, and room or layer that it names. What each says, in our
-- terms, before anything is scored; where a person corrected a field, what they said.
-- $as_of: the day that the figures hold for
-- Kept as a step.

-- Step by step, as DuckDB writes an alias out wherever it is used.
with stated as (
    select
        *,
        coalesce(product_term not in ('none', 'not_asbestos'), false) or len(types_said) > 0 as names_material,
        -- where neither a material nor a sample is named, none was found by eye
        coalesce(
            identification_term = 'not_detected'
            and product is null
            and not has_sample
            and asbestos_types is null
            and regexp_matches(identification, '(?i)^\W*(none|nothing|nil)\b')
            and not regexp_matches(identification, '(?i)\b(sampl\w*|analys\w*|lab\w*|detect\w*|fibres?)\b'),
            false
        ) as is_nothing_seen,
        coalesce(damage_score, damage) as damage_text,
        coalesce(surface_treatment_score, surface) as surface_text,
        regexp_extract(
            score_typed(product_type_score), '^([0-9]+)(?:\.0+)?\s*(?:$|[-–:=/(])', 1
        ) as first_product_digit,
        regexp_extract(
            coalesce(score_typed(damage_score), if(is_damage_in_figures, score_typed(damage), damage)),
            '^([0-9]+)(?:\.0+)?\s*(?:$|[-–:=/(])',
            1
        ) as first_damage_digit,
        regexp_extract(
            coalesce(
                score_typed(surface_treatment_score), if(is_surface_in_figures, score_typed(surface), surface)
            ),
            '^([0-9]+)(?:\.0+)?\s*(?:$|[-–:=/(])',
            1
        ) as first_surface_digit,
        regexp_extract(score_typed(asbestos_type_score), '^([0-9]+)(?:\.0+)?\s*(?:$|[-–:=/(])', 1) as first_type_digit
    from rows_termed
),

said_of as (
    select
        *,
        case
            when corrected.identification is not null then corrected.identification
            when is_type_in_result and identification_term = 'not_detected' and has_sample then 'identified'
            when len(types_said) > 0 and identification_term in ('not_detected', 'not_suspect') then 'presumed'
            when names_material and identification_term in ('no_access', 'unclear') then 'presumed'
            when identification_term = 'unclear' and product_term is not null then 'not_suspect'
            when identification_term = 'yes' and len(types_said) > 0 and has_sample
                then if(is_reference, 'strongly_presumed', 'identified')
            when identification_term = 'yes' then 'presumed'
            when identification_term = 'no' and len(types_said) > 0 then 'presumed'
            when identification_term = 'no' and has_sample then 'not_detected'
            -- `none` may mean that no sample was taken
            when identification_term = 'no' and names_material and starts_with(lower(identification), 'none')
                then 'presumed'
            when identification_term = 'no' then 'not_suspect'
            when identification_term = 'unclear' then 'no_access'
            -- sampled, or like a sample, in which there was none
            when
                types_term = 'none'
                and has_sample
                and (
                    identification_term in ('strongly_presumed', 'not_suspect')
                    or (
                        identification_term = 'identified'
                        and regexp_matches(identification, '^\W*(bulk )?(sampled?|smpl?|analysed)\b', 'i')
                        and not regexp_matches(identification, 'positive|detected|found|confirmed|identified', 'i')
                    )
                )
                then 'not_detected'
            when is_nothing_seen then 'not_suspect'
            when identification_term = 'identified' and is_reference then 'strongly_presumed'
            -- sampled, and the laboratory's answer is awaited, or in words that nobody knows
            when
                identification_term = 'identified'
                and len(types_said) = 0
                and (
                    (
                        is_unanswered
                        and regexp_matches(identification, '^\W*(bulk )?(sampled?|smpl?)( taken)?\W*$', 'i')
                    )
                    or (
                        asbestos_types is not null
                        and types_term is null
                        and regexp_matches(
                            identification,
                            '^\W*(bulk )?(sampled?|smpl?)\b.*\b(sent|gone) (off )?to (the )?lab(oratory)?\W*$', 'i'
                        )
                    )
                )
                then 'presumed'
            -- a column of types that says how they are known: `Strongly presumed chrysotile` of what was not sampled
            when
                coalesce(identification_term, 'presumed') = 'presumed'
                and len(types_said) > 0
                and regexp_matches(asbestos_types, '(?i)^\W*str(ong\w*)?\.? presum')
                then 'strongly_presumed'
            when identification_term is not null then identification_term
            when is_type_in_result and has_sample and not is_reference then 'identified'
            when (is_type_in_result or len(types_said) > 0) and is_contrasted and not is_reference then 'identified'
            when types_term = 'none' then 'not_detected'
            when product_term in ('none', 'not_asbestos') then 'not_suspect'
            when len(types_said) > 0 and is_reference then 'strongly_presumed'
            when len(types_said) > 0 and has_sample then 'identified'
            when product_term is null and in_product in ('no_access', 'not_suspect') then in_product
            -- without a sample nothing was found by eye
            when
                product_term is null
                and in_product = 'not_detected'
                and not has_sample
                and regexp_matches(product, '^\W*(no|nothing|none|nil)\b', 'i')
                then 'not_suspect'
            when product_term is null and in_product = 'unclear' then 'no_access'
            else 'presumed'
        end as said,
        -- figures that leave scores open: `1 or 2`, `1-2`
        list_transform(
            [product_type_score, damage_text, surface_text, asbestos_type_score],
            lambda text: case
                when regexp_matches(text, '^[0-3]\s*(or|to|/|-|–)\s*[0-3]$', 'i')
                    then regexp_extract_all(text, '[0-3]')::integer[]
            end
        ) as open_digits,
        regexp_extract(damage_text, '^[A-Za-z][A-Za-z -]*[-–:=/( ]+([0-9])\)?$', 1) as last_damage_digit,
        regexp_extract(surface_text, '^[A-Za-z][A-Za-z ]*[-–:=/( ]+([0-9])\)?$', 1) as last_surface_digit
    from stated
),

found_of as (
    select
        *,
        case
            when corrected.identification is not null or len(corrected.asbestos_types) > 0 then said
            when is_positive and is_elsewhere and (is_reference or said <> 'identified') then 'strongly_presumed'
            when is_positive then 'identified'
            when not is_positive and not is_elsewhere and may_clear then 'not_detected'
            when is_reference and identification_term is null and len(types_analysed) > 0 then 'strongly_presumed'
            -- presumed for the very reason that it is like the sample: `Presumed, as S12`
            when
                said = 'presumed'
                and is_reference
                and len(types_analysed) > 0
                and regexp_matches(identification, '(?i)\b(as|like|similar to) [A-Z]{0,4}[-/.]?[0-9]')
                then 'strongly_presumed'
            else said
        end as found,
        coalesce(list_max(open_digits[1]), try_cast(first_product_digit as integer)) as product_type_digit,
        coalesce(
            list_max(open_digits[2]),
            try_cast(coalesce(nullif(first_damage_digit, ''), last_damage_digit) as integer)
        ) - is_condition_shifted::integer as damage_digit,
        coalesce(
            list_max(open_digits[3]),
            try_cast(coalesce(nullif(first_surface_digit, ''), last_surface_digit) as integer)
        ) as surface_digit,
        coalesce(list_max(open_digits[4]), try_cast(first_type_digit as integer)) as asbestos_type_digit
    from said_of
),

typed as (
    select
        *,
        case
            when corrected.asbestos_types is not null then types_said
            when found = 'not_detected' and said <> found then []
            when
                len(types_analysed) > 0
                and (is_positive or (len(types_said) = 0 and found in ('identified', 'strongly_presumed', 'presumed')))
                then types_analysed
            else types_said
        end as types,
        found in ('identified', 'strongly_presumed', 'presumed') as is_suspect,
        -- 0 in every score stands for `not scored`: neither product nor asbestos type can score 0
        coalesce(product_type_digit + damage_digit + surface_digit + asbestos_type_digit = 0, false) as is_unscored
    from found_of
),

identified as (
    select
        *,
        coalesce(is_positive is not null and types <> types_said, false) as is_type_analysed
    from typed
)

select
    left(sha256(concat_ws('|', sha256, coalesce(sheet, ''), row_number, part)), 20) as entry_id,
    table_id,
    path,
    sheet,
    row_number,
    line_number,
    is_of_grid,
    part,
    n_rooms,
    is_layer,
    matched_ref as property_ref,
    building_ref,
    match_method,
    match_reason,
    confidence as match_confidence,
    is_contradicted,
    is_carried,
    is_room_carried,
    survey_type as survey_type_text,
    survey_type_term as survey_type,
    surveyed_on as surveyed_on_text,
    case
        when
            day <= $as_of
            and year(day) >= (
                select value
                from reference.limits
                where name = 'earliest_year'
            )
            then day
    end as surveyed_on,
    day_how,
    surveyor,
    organisation,
    room as room_text,
    coalesce(place, 'other') || ' ' || regexp_extract(coalesce(room, ''), '[0-9]+') as room_key,
    place,
    place_how,
    element,
    product as product_text,
    case
        when product_term in ('none', 'not_asbestos') or product_term is null
            then
                case
                    when
                        is_suspect
                        or (
                            product is not null
                            and found not in ('not_suspect', 'no_access')
                            and product_term is null
                        )
                        then 'other'
                end
        else product_term
    end as product,
    product_how,
    product_alternatives,
    coalesce(is_product_guessed, false) as is_product_guessed,
    is_debris,
    extent as extent_text,
    case
        when corrected.extent is not null then corrected.extent
        when
            extent_number <= (
                select value
                from reference.limits
                where name = 'extent_most'
            )
            then
                round(
                    if(
                        extent_how = 'each',
                        try_cast(figures_of_rooms[nth_room] as double),
                        extent_number / if(is_extent_of_each, 1, coalesce(n_rooms, 1))
                    ),
                    4
                )
    end as extent,
    extent_how,
    is_extent_of_each,
    is_extent_in_notes,
    fields_overruled,
    fields_noted,
    is_extent_of_before,
    is_extent_earlier,
    coalesce(corrected.extent_unit, unit) as extent_unit,
    extent_unit as extent_unit_text,
    is_unit_above,
    coalesce(
        corrected.accessibility, accessibility_of_four, accessibility_published, try_cast(accessibility_term as integer)
    ) as accessibility,
    accessibility as accessibility_text,
    case
        when accessibility_of_four <> try_cast(accessibility_term as integer) then 'of four'
        when accessibility_published <> coalesce(try_cast(accessibility_term as integer), -1) then 'published'
        else accessibility_how
    end as accessibility_how,
    found as identification,
    said as register_identification,
    identification as identification_text,
    identification_term,
    identification_how,
    is_result_in_notes,
    is_contrasted and not has_sample and identification_term is null and said = 'identified'
        as is_identified_by_contrast,
    results_contradicted,
    case when is_struck then concat_ws('; ', removal, 'removed, as the row is struck through') else removal end
        as removal_text,
    is_struck,
    is_slipped,
    is_suspect,
    types as asbestos_types,
    types_said as register_types,
    asbestos_types as types_text,
    types_term,
    is_type_guessed,
    is_type_within,
    case when types = types_said and corrected.asbestos_types is null then type_alternatives end as type_alternatives,
    is_reference,
    case
        when
            array_to_string(types, '+') = array_to_string(types_of_home, '+')
            and types_term = array_to_string(types_of_home, '+')
            then home_source
    end as home_source,
    is_type_in_result,
    sample as sample_ref,
    is_positive,
    is_type_analysed,
    analysis_source,
    unsure_reason,
    is_other_material,
    is_unanswered,
    item_ref,
    product_type_score as product_type_score_text,
    coalesce(
        corrected.product_type_score,
        case when not is_unscored and corrected.product is null then product_type_digit end
    ) as product_type_digit,
    case
        when corrected.product_type_score is null and corrected.product is null then list_min(open_digits[1])
    end as product_type_digit_low,
    damage_text,
    damage_term,
    damage_how,
    is_damage_earlier,
    is_result_earlier,
    is_visit_earlier,
    is_visit_reinspected,
    has_visit_beside,
    is_visit_carried,
    damage_alternatives,
    is_scale_other,
    is_condition_shifted,
    coalesce(
        corrected.damage_score, case when not (is_unscored or is_scale_other) then damage_digit end
    ) as damage_digit,
    case when corrected.damage_score is null then list_min(open_digits[2]) end as damage_digit_low,
    surface_text,
    surface_term,
    surface_alternatives,
    coalesce(
        corrected.surface_treatment_score, case when not is_unscored then surface_digit end
    ) as surface_digit,
    case when corrected.surface_treatment_score is null then list_min(open_digits[3]) end as surface_digit_low,
    case when not is_type_analysed then asbestos_type_score end as asbestos_type_score_text,
    coalesce(
        corrected.asbestos_type_score,
        case
            when not (is_unscored or is_type_analysed) and corrected.asbestos_types is null then asbestos_type_digit
        end
    ) as asbestos_type_digit,
    case
        when
            not is_type_analysed
            and corrected.asbestos_type_score is null
            and corrected.asbestos_types is null
            then list_min(open_digits[4])
    end as asbestos_type_digit_low,
    is_unscored,
    material_score as stated_material_text,
    try_cast(material_score as integer) as stated_material_score,
    band_term as stated_band,
    try_cast(priority_score as integer) as stated_priority_score,
    recommendation,
    notes,
    coalesce(corrected_fields, []) as corrected_fields
from identified
