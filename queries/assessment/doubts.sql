-- What was read with a flag, and why. One row per field of a row that was assumed, ambiguous, overruled or out of
-- range.
with flagged as (
    select
        r.path,
        r.sheet,
        r.row_number,
        unnest([
            case when r.is_contradicted
                then {'field': 'property_ref', 'kind': 'overruled', 'reason': 'reference, UPRN and address do not all name the same property; the ' || r.match_method || ' was followed'} end,
            case when r.is_carried
                then {'field': 'property_ref', 'kind': 'assumed', 'reason': 'the row names no property; the one named above it was taken'} end,
            case when r.survey_type_text is not null and r.survey_type is null
                then {'field': 'survey_type', 'kind': 'ambiguous', 'reason': 'the word is not known, so the kind of survey is left open'} end,
            case
                when r.surveyed_on is null and r.surveyed_on_text is null
                    then {'field': 'surveyed_on', 'kind': 'assumed', 'reason': 'no date is given; the row counts as older than any dated one'}
                when r.surveyed_on is null
                    then {'field': 'surveyed_on', 'kind': 'out of range', 'reason': 'not a date that can be; the row counts as older than any dated one'}
            end,
            case
                when r.room_text is null
                    then {'field': 'place', 'kind': 'assumed', 'reason': 'no room is given'}
                when r.place is null
                    then {'field': 'place', 'kind': 'ambiguous', 'reason': 'no known place stands in the words'}
                when r.place_how = 'several'
                    then {'field': 'place', 'kind': 'ambiguous', 'reason': 'several places stand in the words; the longest was taken'}
            end,
            case
                when r.product = 'other' and r.product_text is null
                    then {'field': 'product', 'kind': 'assumed', 'reason': 'no material is named'}
                when r.product = 'other'
                    then {'field': 'product', 'kind': 'ambiguous', 'reason': 'no known material stands in the words'}
                when r.product_how = 'several'
                    then {'field': 'product', 'kind': 'ambiguous', 'reason': 'several materials stand in the words; the longest was taken'}
            end,
            case when r.extent is null and r.extent_text is not null
                then {'field': 'extent', 'kind': 'ambiguous', 'reason': 'not one number with a unit, so the extent is left open'} end,
            case when r.extent_unit is null and r.extent_unit_text is not null
                then {'field': 'extent_unit', 'kind': 'ambiguous', 'reason': 'the unit is not known'} end,
            case when r.accessibility is null and r.accessibility_text is not null
                then {'field': 'accessibility', 'kind': 'ambiguous', 'reason': 'the word is not known, so the reach is left open'} end,
            case
                when r.identification_text is null and r.product is not null
                    then {'field': 'identification', 'kind': 'assumed', 'reason': 'no result is given; taken as ' || replace(r.identification, '_', ' ')}
                when r.identification_text is not null and r.identification_term is null
                    then {'field': 'identification', 'kind': 'ambiguous', 'reason': 'the word is not known; taken as ' || replace(r.identification, '_', ' ')}
                when r.identification_how = 'several'
                    then {'field': 'identification', 'kind': 'ambiguous', 'reason': 'words of different results stand together; the longest was taken'}
            end,
            case when r.types_text is not null and r.types_term is null
                then {'field': 'asbestos_types', 'kind': 'ambiguous', 'reason': 'the word is not known'} end
        ]) as flag
    from readings as r
    union all
    select
        r.path,
        r.sheet,
        r.row_number,
        unnest([
            case
                when r.product_type_score_text is not null and s.product_type_from <> 'register'
                    then {'field': 'product_type_score', 'kind': 'out of range', 'reason': 'not a score from 1 to 3; taken from the product instead'}
                when r.product_type_score_text is null and s.product_type_from = 'product'
                    then {'field': 'product_type_score', 'kind': 'assumed', 'reason': 'not given; taken from the product'}
                when s.product_type_from = 'missing'
                    then {'field': 'product_type_score', 'kind': 'assumed', 'reason': 'missing; anything from 1 to 3'}
                when s.is_product_type_odd
                    then {'field': 'product_type_score', 'kind': 'ambiguous', 'reason': 'not the score of this product; the register stands'}
            end,
            case
                when r.damage_text is not null and s.damage_from = 'missing'
                    then {'field': 'damage_score', 'kind': 'out of range', 'reason': 'neither a score from 0 to 3 nor a known word; anything from 0 to 3'}
                when s.damage_from = 'missing'
                    then {'field': 'damage_score', 'kind': 'assumed', 'reason': 'missing; anything from 0 to 3'}
                when s.damage_from = 'debris'
                    then {'field': 'damage_score', 'kind': 'assumed', 'reason': 'debris counts as high damage (3)'}
                when s.damage_low < s.damage_high
                    then {'field': 'damage_score', 'kind': 'ambiguous', 'reason': 'the word is used for more than one degree of damage'}
            end,
            case
                when r.surface_text is not null and s.surface_treatment_from in ('missing', 'product')
                    then {'field': 'surface_treatment_score', 'kind': 'out of range', 'reason': 'neither a score from 0 to 3 nor a known word for this product'}
                when s.surface_treatment_from = 'missing'
                    then {'field': 'surface_treatment_score', 'kind': 'assumed', 'reason': 'missing; as little or as much as the product allows'}
                when s.surface_treatment_from = 'product'
                    then {'field': 'surface_treatment_score', 'kind': 'assumed', 'reason': 'not given; the product allows one score only'}
                when s.is_surface_odd
                    then {'field': 'surface_treatment_score', 'kind': 'ambiguous', 'reason': 'not a score that this product can have; the register stands'}
            end,
            case
                when s.asbestos_type_from = 'assumed'
                    then {'field': 'asbestos_type_score', 'kind': 'assumed', 'reason': 'presumed and the type unknown: the worst type counts, the mildest for the low end'}
                when r.asbestos_type_score_text is not null and s.asbestos_type_from <> 'register'
                    then {'field': 'asbestos_type_score', 'kind': 'out of range', 'reason': 'not a score from 1 to 3'}
                when s.asbestos_type_from = 'missing'
                    then {'field': 'asbestos_type_score', 'kind': 'assumed', 'reason': 'missing; anything from 1 to 3'}
                when s.is_type_odd
                    then {'field': 'asbestos_type_score', 'kind': 'ambiguous', 'reason': 'not the score of the worst type named; the register stands'}
            end,
            case
                when r.stated_material_text is not null and r.stated_material_score is null
                    then {'field': 'stated_material_score', 'kind': 'out of range', 'reason': 'not a whole number'}
                when r.stated_material_score <> m.material_score
                    then {'field': 'stated_material_score', 'kind': 'overruled', 'reason': 'the register says ' || r.stated_material_score || ', its parts add up to ' || m.material_score}
            end
        ]) as flag
    from readings as r
    inner join sub_scores as s on r.entry_id = s.entry_id
    inner join material_scores as m on s.entry_id = m.id
    union all
    select
        path,
        sheet,
        row_number,
        unnest([
            case when uprn is null and uprn_text is not null
                then {'field': 'uprn', 'kind': 'out of range', 'reason': 'not a whole number from 1 to 999999999999, so it is left out'} end,
            case when built_year is null and built_year_text is not null
                then {'field': 'built_year', 'kind': 'out of range', 'reason': 'not a year that can be, so it is left open'} end
        ]) as flag
    from stock_readings
    where reason_code is null
)

select
    path,
    sheet,
    row_number,
    flag.field,
    flag.kind,
    flag.reason
from flagged
where flag is not null
