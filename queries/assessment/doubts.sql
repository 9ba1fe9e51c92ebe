-- One row per doubt about a field of a row. What was read with a flag, and why; where a person corrected a field, only
-- that. A doubt that a person accepted says who did, when and why.
with unread as (
    select distinct table_id
    from headings
    where field is null and confidence = 0 and heading is not null
),

seen_again as (
    select unnest(entry_ids) as entry_id
    from item_contradictions
    where kind = 'removed_seen_again'
),

-- A stated band that the parts cannot lead to; one that says low may mean very low, as many know no such band. Where a
-- table's bands often differ, they are of another measure, and none of it counts.
bands as (
    select
        r.entry_id,
        r.table_id,
        m.material_low > said.to_score or (said.band <> 'low' and m.material_high < said.from_score) as differs
    from readings as r
    inner join reference.material_bands as said on r.stated_band = said.band
    inner join material_scores as m on r.entry_id = m.id
    where r.is_type_analysed is distinct from true
),

tables_of_material as (
    select b.table_id
    from bands as b
    inner join reference.limits as k on k.name = 'bands_wrong_most'
    group by b.table_id, k.value
    having count(*) filter (where b.differs) <= k.value * count(*)
),

bands_wrong as (
    select b.entry_id
    from bands as b
    where
        b.differs
        and b.table_id in (
            select t.table_id
            from tables_of_material as t
        )
),

in_registers as (
    select
        r.path,
        r.sheet,
        r.row_number,
        r.match_method,
        r.match_reason,
        cloned.original_ref,
        replace(r.identification, '_', ' ') as result,
        coalesce(strftime(same.damage.surveyed_on, '%-d %b %Y'), 'no day') as unchanged_since,
        r.stated_material_score,
        r.stated_band,
        l.reason as link_reason,
        r.corrected_fields,
        odd.asbestos_type as unusual_type,
        r.extent_unit,
        r.sample_ref,
        r.analysis_source,
        r.home_source,
        r.unsure_reason,
        r.identification_text,
        r.results_contradicted,
        r.notes,
        if(
            contains(r.notes, 're-inspection: '),
            nullif(
                regexp_extract(
                    r.notes,
                    '(?i)re-inspection: (.*\b(worse|deteriorat\w*|damaged?|drilled|broken|cracked|loose|holes?)\b.*)$',
                    1
                ), ''
            ),
            null
        ) as reinspected,
        r.room_text,
        r.accessibility_text,
        r.product_text,
        coalesce(r.types_text, r.identification_text) as types_text,
        r.product_type_score_text,
        r.damage_text,
        r.surface_text,
        r.asbestos_type_score_text,
        case
            when r.is_positive is not null
                then
                    concat_ws(
                        ', ', replace(r.register_identification, '_', ' '),
                        nullif(array_to_string(r.register_types, ' and '), ''), 'sample ' || r.analysis_source
                    )
        end as register_result,
        unnest(list_filter(
            [
                case when r.is_contradicted then 'property_contradicted' end,
                case when r.match_confidence < k.value then 'property_alike' end,
                case when cloned.property_ref is not null then 'property_cloned' end,
                case when r.is_carried then 'property_carried_down' end,
                case when r.survey_type_text is not null and r.survey_type is null then 'survey_type_unknown' end,
                case
                    when r.surveyed_on is null and r.surveyed_on_text is null then 'date_missing'
                    when r.surveyed_on is null and r.day_how is distinct from 'mixed' then 'date_impossible'
                end,
                case
                    when r.room_text is null then 'place_missing'
                    when r.place is null then 'place_unknown'
                    when r.place_how = 'alternatives' then 'place_alternatives'
                    when r.place_how = 'several' then 'place_several'
                    when r.place_how = 'respelt' then 'place_respelt'
                    when r.place_how = 'beside' then 'place_beside'
                    when r.place_how = 'by thing' then 'place_by_thing'
                    when r.place_how = 'of block' then 'place_stairs'
                end,
                case when r.is_room_carried then 'place_carried_down' end,
                case when u.table_id is not null and r.accessibility_text is null then 'accessibility_unread' end,
                case when u.table_id is not null and r.extent_text is null then 'extent_unread' end,
                case when u.table_id is not null and r.sample_ref is null then 'sample_unread' end,
                case
                    when u.table_id is not null and r.types_text is null and len(r.asbestos_types) = 0
                        then 'types_unread'
                end,
                case when r.n_rooms > 1 then 'place_shared' end,
                case
                    when
                        r.n_rooms > 1
                        and r.extent is not null
                        and r.extent_how <> 'each'
                        and not coalesce(r.is_extent_of_each, false)
                        then 'extent_shared'
                end,
                case when r.is_layer then 'product_layer' end,
                case when r.is_of_grid then 'cell_of_grid' end,
                case when r.is_product_guessed then 'product_guessed' end,
                case
                    when r.is_type_guessed then 'types_guessed'
                    when len(r.type_alternatives) > 0 then 'types_alternatives'
                    when r.is_type_within then 'types_within'
                end,
                case when r.is_unscored and r.is_suspect then 'scores_all_zero' end,
                case r.day_how
                    when 'month' then 'date_of_month'
                    when 'year' then 'date_of_year'
                    when 'week' then 'date_of_week'
                    when 'no year' then 'date_without_year'
                    when 'letters' then 'date_letters'
                    when 'mixed' then 'date_mixed'
                    when 'several' then 'date_several'
                    when 'by hand' then 'date_by_hand'
                    when 'year above' then 'date_year_above'
                    when 'name of the sheet' then 'date_of_sheet'
                    when 'last visit' then 'visit_before'
                end,
                case
                    when r.extent_how = 'vague' then 'extent_vague'
                    when r.extent_how = 'comma' then 'extent_comma'
                    when r.extent_how = 'multiplied' then 'extent_multiplied'
                    when r.extent_how = 'letters' then 'extent_letters'
                    when r.extent_how = 'feet' then 'extent_feet'
                    when r.extent_how = 'one' then 'extent_one'
                end,
                case
                    when r.product = 'other' and r.product_text is null then 'product_missing'
                    when r.product = 'other' then 'product_unknown'
                    when r.product_how = 'beside' then 'product_beside'
                    when r.product_how = 'of sample' then 'product_of_sample'
                    when r.product_how = 'alternatives' then 'product_alternatives'
                    when r.product_how = 'several' then 'product_several'
                    when r.product_how = 'respelt' then 'product_respelt'
                end,
                case when r.extent is null and r.extent_text is not null then 'extent_unclear' end,
                case
                    when
                        r.extent_unit is null
                        and coalesce(r.extent_unit_text, case when r.extent is null then r.extent_text end) is not null
                        then 'unit_unknown'
                    when r.extent is not null and r.extent_unit is null then 'unit_missing'
                    when u.table_id is not null and r.extent_text is null and r.extent_unit is null then 'unit_unread'
                    when r.is_unit_above then 'unit_above'
                    when unfit.product is not null and r.extent is not null then 'unit_unfit'
                end,
                case
                    when r.accessibility is null and r.accessibility_text is not null then 'accessibility_unknown'
                    when r.accessibility_how = 'alternatives' then 'accessibility_alternatives'
                    when r.accessibility_how = 'of three' then 'accessibility_of_three'
                    when r.accessibility_how = 'of four' then 'accessibility_of_four'
                    when r.accessibility_how = 'published' then 'accessibility_published'
                end,
                case
                    when r.identification_text is null and r.product is not null then 'result_missing'
                    when r.is_result_in_notes then 'identification_in_notes'
                    when r.results_contradicted is not null then 'results_contradicted'
                    when r.identification_term = 'identified' and r.is_reference then 'result_by_reference'
                    -- who strongly presumes says so
                    when
                        r.is_reference
                        and refers_to_home(r.identification_text)
                        and r.identification_term is distinct from 'strongly_presumed'
                        then 'result_by_home'
                    when r.identification_text is not null and r.identification_term is null and not r.is_type_in_result
                        then 'result_unknown'
                    when r.identification_term in ('yes', 'no') then 'result_short'
                    when r.identification_term = 'not_detected' and r.identification = 'not_suspect'
                        then 'result_by_eye'
                    when r.identification_term = 'unclear' then 'result_unclear'
                    when r.is_suspect and r.identification_term in ('not_detected', 'not_suspect')
                        then 'result_contradicted'
                    when r.is_suspect and r.identification_term = 'no_access' then 'result_out_of_reach'
                    when r.identification_how = 'several' then 'result_several'
                    when r.identification_how = 'signed' then 'result_signed'
                end,
                case
                    when
                        r.types_text is not null
                        and r.types_term is null
                        -- a result that there is none, or that nobody could look, is no unknown type, nor is a
                        -- known word for how it was found
                        and not coalesce(
                            r.types_text = r.identification_text
                            and (
                                r.identification in ('no_access', 'not_suspect', 'not_detected')
                                or r.identification_how = 'known'
                            ), false
                        )
                        then 'types_unknown'
                end,
                case
                    when r.register_identification <> r.identification then 'result_analysed'
                    when r.is_suspect and not r.is_positive then 'result_not_used'
                    when r.identification = 'not_detected' and r.is_reference then 'cleared_by_reference'
                    -- nothing but a sample says so
                    when
                        r.identification = 'identified'
                        and len(r.asbestos_types) = 0
                        and r.is_positive is null
                        and r.sample_ref is not null
                        and not regexp_matches(coalesce(r.identification_text, ''), '[A-Za-z]{3}')
                        then 'sample_alone'
                end,
                case when odd.product is not null then 'types_unusual' end,
                case
                    when r.is_type_analysed then 'types_analysed'
                    when r.register_types <> r.asbestos_types then 'types_by_reference'
                    when r.home_source is not null then 'types_of_home'
                end,
                case
                    when r.is_other_material then 'sample_of_other_material'
                    when r.unsure_reason is not null then 'sample_joined_unsurely'
                    when r.is_positive is not null or r.analysis_source is not null or r.sample_ref is null then null
                    when r.is_reference then 'reference_unmet'
                    when r.identification = 'presumed' then 'sample_awaited'
                    when r.is_unanswered then 'sample_unanswered'
                end,
                case
                    when r.product_type_score_text <> score_typed(r.product_type_score_text) then 'product_type_letter'
                end,
                case when r.damage_text <> score_typed(r.damage_text) and r.damage_digit < 2 then 'damage_letter' end,
                case
                    when r.surface_text <> score_typed(r.surface_text) and r.surface_digit < 2 then 'surface_letter'
                end,
                case
                    when r.asbestos_type_score_text <> score_typed(r.asbestos_type_score_text) then 'type_letter'
                end,
                case when l.rows_of_visit > 1 then 'item_of_several_rows' end,
                case
                    when
                        r.damage_digit_low < r.damage_digit
                        or (r.damage_how = 'alternatives' and s.damage_from is distinct from 'register')
                        then 'damage_alternatives'
                    when r.damage_how = 'several' then 'damage_several'
                    when r.damage_how = 'respelt' and s.damage_from is distinct from 'register' then 'damage_respelt'
                end,
                case
                    when r.is_damage_earlier then 'damage_before'
                    when same.entry_id is not null then 'damage_unchanged'
                end,
                case when r.is_result_earlier then 'result_before' end,
                case when r.is_visit_earlier then 'visit_before' end,
                case
                    when r.is_visit_reinspected then 'visit_reinspected'
                    when r.has_visit_beside then 'visit_beside'
                end,
                case when r.is_visit_carried then 'visit_carried' end,
                case when reinspected is not null then 'damage_reinspected' end,
                case when r.is_struck then 'row_struck' end,
                case when r.is_slipped then 'row_slipped' end,
                case when r.is_extent_in_notes then 'extent_in_notes' end,
                case when list_contains(r.fields_overruled, 'extent') then 'extent_overruled' end,
                case when list_contains(r.fields_overruled, 'product') then 'product_overruled' end,
                case when list_contains(r.fields_overruled, 'damage') then 'damage_overruled' end,
                case when list_contains(r.fields_overruled, 'surface') then 'surface_overruled' end,
                case when list_contains(r.fields_noted, 'extent') then 'extent_noted' end,
                case when list_contains(r.fields_noted, 'product') then 'product_noted' end,
                case when list_contains(r.fields_noted, 'damage') then 'damage_noted' end,
                case when r.is_extent_earlier and r.extent is not null then 'extent_before' end,
                case when r.is_extent_of_before and r.extent is not null then 'extent_of_before' end,
                case when r.is_identified_by_contrast then 'identified_by_contrast' end,
                case
                    when
                        r.surface_digit_low < r.surface_digit
                        or (len(r.surface_alternatives) > 0 and s.surface_treatment_from is distinct from 'register')
                        then 'surface_alternatives'
                end,
                case when r.product_type_digit_low < r.product_type_digit then 'product_type_alternatives' end,
                case when r.asbestos_type_digit_low < r.asbestos_type_digit then 'type_alternatives' end,
                case when l.strength < sure.value then 'item_link_unsure' end,
                case when again.entry_id is not null then 'removed_seen_again' end,
                case
                    when r.product_type_score_text is not null and s.product_type_from <> 'register'
                        then 'product_type_impossible'
                    when s.product_type_from = 'product' then 'product_type_derived'
                    when s.product_type_from = 'missing' then 'product_type_missing'
                    when s.is_product_type_odd then 'product_type_odd'
                end,
                case
                    when r.is_scale_other then 'damage_scale'
                    when r.is_condition_shifted then 'damage_less_one'
                    when r.damage_text is not null and s.damage_from = 'missing' then 'damage_impossible'
                    when s.damage_from = 'missing' and c.damage_score is not null then 'damage_earlier'
                    when s.damage_from = 'missing' then 'damage_missing'
                    when s.damage_from = 'debris' then 'damage_of_debris'
                    when s.damage_from = 'word' and r.damage_digit > 3 then 'damage_figure'
                    when s.is_damage_odd then 'damage_odd'
                    when s.damage_low < s.damage_high and r.damage_digit_low is null then 'damage_vague'
                end,
                case
                    when r.surface_text is not null and s.surface_treatment_from in ('missing', 'product')
                        then 'surface_impossible'
                    when s.surface_treatment_from = 'missing' and c.surface_treatment_score is not null
                        then 'surface_earlier'
                    when s.surface_treatment_from = 'missing' then 'surface_missing'
                    when s.surface_treatment_from = 'product' then 'surface_derived'
                    when s.surface_treatment_from = 'word' and r.surface_digit > 3 then 'surface_figure'
                    when s.is_surface_odd then 'surface_odd'
                end,
                case
                    when s.asbestos_type_from = 'assumed' then 'type_presumed'
                    when r.asbestos_type_score_text is not null and s.asbestos_type_from <> 'register'
                        then 'type_impossible'
                    when s.asbestos_type_from = 'missing' then 'type_missing'
                    when s.is_type_odd then 'type_odd'
                end,
                case
                    when
                        s.entry_id is not null
                        and r.stated_material_text is not null
                        and coalesce(r.stated_material_score::varchar, r.stated_band) is null
                        then 'total_unreadable'
                    when r.stated_material_score <> m.material_score and r.is_type_analysed is distinct from true
                        then 'total_wrong'
                    when wrong.entry_id is not null then 'band_wrong'
                end
            ], lambda one: one is not null
        )) as doubt
    from readings as r
    inner join reference.limits as k on k.name = 'match_told_below'
    inner join reference.limits as sure on sure.name = 'link_strength_sure'
    left join cloned_properties as cloned
        on
            r.path = cloned.path
            and r.property_ref = cloned.property_ref
            and r.surveyed_on is not distinct from cloned.surveyed_on
    left join reference.unusual_types as odd
        on r.product = odd.product and list_contains(r.asbestos_types, odd.asbestos_type)
    left join reference.unfit_units as unfit
        on
            r.product = unfit.product
            and r.extent_unit = unfit.extent_unit
            and coalesce(r.element = unfit.element, unfit.element is null)
    left join unread as u on r.table_id = u.table_id
    left join item_links as l on r.entry_id = l.entry_id
    left join sub_scores as s on r.entry_id = s.entry_id
    left join unchanged_damage as same on r.entry_id = same.entry_id
    left join material_scores as m on r.entry_id = m.id
    left join bands_wrong as wrong on r.entry_id = wrong.entry_id
    left join item_conditions as c on r.entry_id = c.entry_id
    left join seen_again as again on r.entry_id = again.entry_id
),

in_stock as (
    select
        s.path,
        s.sheet,
        s.row_number,
        m.polygon_area || ', listed in ' || s.area as on_map,
        b.area || ', this one in ' || coalesce(s.area, m.polygon_area) as of_building,
        unnest([
            case when s.uprn is null and s.uprn_text is not null then 'uprn_impossible' end,
            case when s.built_year is null and s.built_year_text is not null then 'built_year_impossible' end,
            case when s.oldest_part is null and s.oldest_part_text is not null then 'oldest_part_impossible' end,
            case when s.occupants is null and s.occupants_text is not null then 'occupants_impossible' end,
            case when s.easting is null and s.easting_text is not null then 'coordinates_impossible' end,
            case
                when s.area is null and m.polygon_area is not null then 'area_of_map'
                when lower(s.area) <> lower(m.polygon_area) then 'area_off_map'
            end,
            case when lower(coalesce(s.area, m.polygon_area)) <> lower(b.area) then 'area_of_building' end
        ]) as doubt
    from stock_readings as s
    left join property_points as m on s.property_ref = m.property_ref
    left join buildings as b on s.building_ref = b.building_ref
    where s.reason_code is null
),

in_laboratories as (
    select
        path,
        sheet,
        row_number,
        unnest([
            case when is_date_impossible then 'analysis_date_impossible' end,
            case when is_several then 'analysis_several' when is_within then 'analysis_within' end,
            case when is_carried then 'property_carried_down' end
        ]) as doubt
    from sample_results
    where reason_code is null
),

together as (
    select
        path,
        sheet,
        row_number,
        doubt,
        corrected_fields,
        null as field,
        case doubt
            when 'property_contradicted' then match_method
            when 'property_alike' then match_reason
            when 'property_cloned' then coalesce(original_ref, 'another home')
            when 'item_link_unsure' then link_reason
            when 'results_contradicted' then results_contradicted || ', taken as ' || result
            when 'damage_reinspected' then reinspected
            when 'damage_unchanged' then unchanged_since
            when 'place_alternatives' then room_text
            when 'product_alternatives' then product_text
            when 'types_alternatives' then types_text
            when 'product_type_alternatives' then product_type_score_text
            when 'damage_alternatives' then damage_text
            when 'accessibility_alternatives' then accessibility_text
            when 'accessibility_of_three' then accessibility_text
            when 'accessibility_published' then accessibility_text
            when 'surface_alternatives' then surface_text
            when 'type_alternatives' then asbestos_type_score_text
            when 'total_wrong' then stated_material_score::varchar
            when 'band_wrong' then stated_band
            when 'result_analysed' then register_result
            when 'types_analysed' then register_result
            when 'result_not_used' then analysis_source
            when 'types_by_reference' then analysis_source
            when 'sample_of_other_material' then analysis_source
            when 'result_by_reference' then sample_ref
            when 'cleared_by_reference' then concat_ws(', ', sample_ref, analysis_source)
            when 'result_by_home' then identification_text
            when 'types_of_home' then home_source
            when 'types_unusual' then unusual_type
            when 'unit_unfit' then extent_unit
            when 'extent_overruled' then notes
            when 'product_overruled' then notes
            when 'damage_overruled' then notes
            when 'surface_overruled' then notes
            when 'extent_noted' then notes
            when 'product_noted' then notes
            when 'damage_noted' then notes
            when 'sample_joined_unsurely' then unsure_reason || ', ' || analysis_source
            else result
        end as value
    from in_registers
    union all
    select
        path,
        sheet,
        row_number,
        doubt,
        [] as corrected_fields,
        null as field,
        case doubt when 'area_off_map' then on_map when 'area_of_building' then of_building end as value
    from in_stock
    union all
    select
        r.path,
        r.sheet,
        r.row_number,
        'corrected' as doubt,
        [] as corrected_fields,
        f.field,
        concat_ws(', ', f.value, 'by ' || f.who, strftime(f.said_on, '%-d %b %Y'), f.why) as value
    from readings as r
    inner join corrections_factors as f
        on
            r.path = f.row_path
            and coalesce(r.sheet, '') = f.row_sheet
            and r.row_number = f.row_of_sheet
            and r.part = f.part
    where f.reason_code is null
    union all
    select
        path,
        sheet,
        row_number,
        doubt,
        [] as corrected_fields,
        null as field,
        null as value
    from in_laboratories
)

select distinct
    t.path,
    t.sheet,
    t.row_number,
    d.doubt,
    coalesce(t.field, d.field) as field,
    d.kind,
    replace(d.reason, '{value}', coalesce(t.value, '')) as reason,
    a.who as accepted_by,
    a.said_on as accepted_on,
    a.why as accepted_why
from together as t
inner join reference.doubts as d on t.doubt = d.doubt
left join corrections_accepted as a
    on
        t.path = a.row_path
        and coalesce(t.sheet, '') = a.row_sheet
        and t.row_number = a.row_of_sheet
        and t.doubt = a.doubt
        and a.reason_code is null
where not coalesce(list_contains(t.corrected_fields, d.field), false)
