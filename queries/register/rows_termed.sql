-- One row per used register row, item written across it, and room or layer that it names: its words in our terms, and
-- what a person corrected, before these are weighed against each other.
-- Kept as a view of steps.

-- What other rows of the file say of when a home was visited, for those that took the day of the home above.
with days_of_homes as (
    select
        r.path,
        f.property_ref as matched_ref,
        min(d.day) as day
    from register_lines as r
    inner join register_fates as f
        on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
    inner join dates_read as d
        on
            r.path = d.path
            and r.surveyed_on = d.written
            and (d.hand is null or d.hand = coalesce(r.surveyor, ''))
    where
        not f.is_layout
        and f.reason_code is null
        and not r.is_visit_carried
        and r.path in (
            select c.path
            from register_lines as c
            where c.is_visit_carried
        )
    group by r.path, f.property_ref
    having min(d.day) = max(d.day)
),

-- Distinct words first: they are few beside the rows.
worded as (
    select distinct
        coalesce(rooms.piece, r.room) as room,
        coalesce(layers.piece, r.product) as product,
        r.position
    from register_lines as r
    left join word_pieces as rooms on rooms.field = 'place' and r.room = rooms.written
    left join word_pieces as layers on layers.field = 'product' and r.product = layers.written
    where r.product is not null
),

-- What is named at no more than `outside`, as a soffit of a porch or balcony, or in place of a room (`Rear gutters`),
-- tells where outdoors it is.
named_outdoors as (
    select
        u.*,
        lower(concat_ws(' ', u.product, u.position, if(place.term is null, u.room, null))) as words,
        coalesce(place.term in ('hall_landing', 'stair_core'), false)
        or regexp_matches(lower(concat_ws(' ', u.room, u.position)), '\b(porch|pch|balcony|canopy)\b') as is_sheltered
    from worded as u
    left join recognised_words as place on place.field = 'place' and u.room = place.written
    where
        (place.term = 'external_wall' and not regexp_matches(lower(u.room), '\bwalls?\b'))
        or (
            coalesce(place.term, 'external_wall') in ('external_wall', 'hall_landing', 'stair_core')
            and regexp_matches(lower(concat_ws(' ', u.room, u.position)), '\b(porch|pch|balcony|canopy)\b')
        )
        or (
            place.term is null
            and regexp_matches(
                lower(u.room), '^((front|rear|back|sides?|left|right|[lr]hs|all|both|round|hand|and|of)\b\W*)+$'
            )
        )
        or (
            place.term is null
            and regexp_matches(
                lower(u.room),
                (
                    select string_agg(o.written, '|' order by o.nth)
                    from reference.outdoor_things as o
                    where o.place in ('eaves', 'external_wall')
                )
            )
        )
),

outdoors as (
    select
        n.room,
        n.product,
        n.position,
        min_by(o.place, o.nth) as place
    from named_outdoors as n
    inner join reference.outdoor_things as o on regexp_matches(n.words, o.written)
    where
        not n.is_sheltered
        or o.place = 'eaves'
        -- what a porch has above it, not what is under that
        or (
            o.place = 'roof'
            and regexp_matches(n.words, '\broof (over|to|of)\b|\bslates? to\b|\b(porch|canopy|balcony) roof')
        )
    group by n.room, n.product, n.position
)

select
    u.*,
    p.building_ref,
    p.part as property_part,
    s.sha256,
    survey_type.term as survey_type_term,
    k.said as corrected,
    k.fields as corrected_fields,
    place_beside(place.term, u.room, beside.term, coalesce(u.position, u.product)) as place_named_beside,
    -- nobody came in, or nothing is suspect in any room
    case
        when
            coalesce(place.term, beside.term) is null
            and (
                coalesce(identification.term, in_product.term) in ('no_access', 'not_suspect')
                or product.term = 'none'
            )
            and coalesce(product.term, 'none') = 'none'
            and regexp_matches(
                coalesce(u.room, u.product, 'all'),
                '^\W*(all|(the )?whole|entire|throughout|every|no access|not accessed|could not|unable'
                || '|(tenant|occupier|resident)s? (refus|out|away|not|would|changed|declin|ill|unwell)\w*'
                || '|no reply|no answer|changed locks|locks changed)\b'
                || '|\b(any|all|every) rooms?\b',
                'i'
            )
            then 'whole_home'
        when
            p.part = 'garage'
            and coalesce(place.term, beside.term) is null
            and regexp_matches(
                coalesce(u.room, 'all'), '^\W*(inside|interior|internal(ly)?|all|whole|throughout)\W*$', 'i'
            )
            then 'garage'
    end as place_of_home,
    case
        when
            place.term = 'external_wall'
            and regexp_matches(
                concat_ws('; ', u.room, u.product, u.position),
                -- also by a height of less than two metres above the ground
                '(?i)\blow[- ](level|down)\b|\bat ground( level)?\b'
                || '|\b[01](\.[0-9]+)? ?m(et(re|er)s?)? (above|over|off|from) (the )?'
                || '(path(way)?|pav(ing|ement)|patio|slabs|ground( level)?\s*($|[,;.)]))'
            )
            then 'external_low'
    end as place_low,
    -- in common parts the underside of the stairs is seen from the stairs below
    case
        when
            p.part = 'common parts'
            and place.term = 'under_stairs'
            and regexp_matches(u.room, '(?i)\b(soffits?|undersides?)\b')
            and not regexp_matches(u.room, '(?i)\b(cup\w*|cpd|store|under|u|beneath|below|spandrel\w*)\b')
            then 'stair_core'
    end as place_stairs,
    -- the lobby of a home is its own, unless it is said to be of the block
    case
        when
            p.part = 'home'
            and place.term = 'stair_core'
            and regexp_full_match(
                lower(u.room), '\W*((inner|front|rear|back|hall|internal|entrance)\b\W*)?lobby\W*'
            )
            then 'hall_landing'
    end as place_lobby,
    coalesce(
        k.said.place,
        in_block.in_common_parts,
        place_stairs,
        place_lobby,
        outdoors.place,
        place_low,
        place_named_beside,
        place.term,
        place_of_home
    ) as place,
    case
        when k.said.place is not null or in_block.in_common_parts is not null then place.how
        when place_stairs is not null then 'of block'
        when outdoors.place is not null then 'by thing'
        when place_named_beside is not null then 'beside'
        else place.how
    end as place_how,
    case
        when k.said.product is not null then k.said.product
        when
            product.term = 'textured_coating'
            and lower(trim(u.product)) in ('tc', 't/c', 't.c.')
            and regexp_matches(lower(concat_ws(' ', u.room, u.position)), '\bfloor\b')
            then 'floor_tile'
        -- bitumen on a roof, where no glue or paint is meant, is its felt
        when
            product.term = 'mastic_putty'
            and regexp_matches(u.product, '(?i)\bbitum')
            and not regexp_matches(
                u.product, '(?i)\b(adhesive|glue|mastic|sealant|paint|pad|dpc|damp|screed|flash|putty|caulk|joint)'
            )
            and regexp_matches(
                concat_ws(' ', u.product, u.position, u.room), '(?i)\broof(ing)? (cover|finish|sheet|surface|layer)'
            )
            then 'roofing_felt'
        -- what a thing is made of stands behind it, where nothing is suspect: `Bath panel - hardboard`
        when
            identification.term = 'not_suspect'
            and regexp_matches(
                u.product,
                '(?i)[,(–-]\s*(hardboard|plywood|ply|mdf|timber|wood|chipboard|plasterboard|plaster|u?pvc|plastic'
                || '|melamine|formica|steel|glass)\W*$'
            )
            then 'not_asbestos'
        -- what stands there is named, and said to be none: `Felt and wool only, nothing suspect`
        when
            coalesce(u.identification, '-') = '-'
            and regexp_matches(
                u.product, '(?i)[,;.:–-]\s*nothing (else )?(is |looks )?(suspect(ed)?|suspicious)\W*$'
            )
            then 'none'
        -- a description that names no material, beside a column that does
        else coalesce(product.term, named.term, made_of.term, of_sample.product)
    end as product_term,
    product_term <> product.term as is_product_guessed,
    case
        when product.term is not null or coalesce(named.term, made_of.term, of_sample.product) is null then product.how
        when coalesce(named.term, made_of.term) is not null then 'beside'
        else 'of sample'
    end as product_how,
    case when k.said.product is null then product.alternatives end as product_alternatives,
    debris.term is not null and k.said.product is null and coalesce(k.said.damage_score, 3) = 3 as is_debris,
    -- `Vinyl tiles (NAD) on adhesive (CH)`: a layer may have a result of its own
    u.is_layer
    and (
        (u.layer_answer is not null and coalesce(identification.term in ('not_detected', 'no'), false))
        or regexp_matches(
            u.product, '\((nadi?s?|negative|none detected|not detected|no asbestos( detected)?)\)', 'i'
        )
    ) as is_layer_clear,
    coalesce(k.said.identification, if(is_layer_clear, 'not_detected', identification.term))
        as identification_term,
    identification.how as identification_how,
    -- what only looks like something else is not cleared
    case
        when
            coalesce(u.identification, '-') = '-'
            and (
                in_product.term <> 'not_suspect'
                or regexp_matches(
                    u.product,
                    '^\W*(no|not|nothing|none|nil|clear)\b'
                    || '|[,;.–-] *(nothing|no asbestos) (was )?(found|seen|noted)\W*$',
                    'i'
                )
            )
            then in_product.term
    end as in_product,
    case
        when k.said.asbestos_types is not null then k.said.asbestos_types
        when k.said.identification in ('not_detected', 'not_suspect') or is_layer_clear then 'none'
        when u.is_result_in_notes and type_in_result.term not in ('none', 'unknown') then type_in_result.term
        when lower(trim(u.asbestos_types)) = 'c' and not u.has_cr then 'crocidolite'
        when asbestos_type.term is not null then asbestos_type.term
        when type_in_result.term not in ('none', 'unknown') then type_in_result.term
        when k.said.identification is null and identification.term is null then array_to_string(u.types_of_home, '+')
    end as types_term,
    coalesce(type_in_result.term not in ('none', 'unknown'), false) as is_type_in_result,
    u.sample is not null or coalesce(u.is_sampled, false) as has_sample,
    -- a layer is cleared by a sample of its own, of such a material
    if(
        u.is_layer,
        coalesce(
            struct_extract(u.found_in_sample, 'is_exact')
            and (
                struct_extract(u.found_in_sample, 'product') = product.term
                or coalesce(struct_extract(u.found_in_sample, 'product'), 'other') = 'other'
                or (family_of_sample.family = family_of_row.family)
            ), false
        ),
        u.is_sure
    ) as may_clear,
    coalesce(asbestos_type.how = 'within' or (asbestos_type.term is null and is_type_in_result), false)
        as is_type_within,
    coalesce(lower(trim(u.asbestos_types)) = 'c' and not u.has_cr, false) as is_type_guessed,
    if(u.is_poor_worst and damage.term = 'poor', 'high', damage.term) as damage_term,
    damage.how as damage_how,
    damage.alternatives as damage_alternatives,
    surface.term as surface_term,
    surface.alternatives as surface_alternatives,
    case when asbestos_type.term is null then type_in_result.alternatives else asbestos_type.alternatives end
        as type_alternatives,
    coalesce(element_of_product.term, element_of_position.term, element_of_room.term) as element,
    accessibility.term as accessibility_term,
    accessibility.how as accessibility_how,
    band.term as band_term,
    list_filter(string_split(coalesce(types_term, ''), '+'), lambda one: one not in ('', 'unknown', 'none'))
        as types_said,
    coalesce(h.day, d.day) as day,
    if(h.day is null, d.how, 'known') as day_how,
    x.extent as extent_number,
    coalesce(x.unit, unit.term, if(u.is_one, 'nr', null)) as unit,
    string_split(x.figures, '|') as figures_of_rooms,
    case when u.is_one then 'one' when len(figures_of_rooms) = u.n_rooms then 'each' else x.how end as extent_how
from rows_used as u
inner join properties as p on u.matched_ref = p.property_ref
inner join source_sheets as s on u.path = s.path and u.sheet is not distinct from s.sheet
left join dates_read as d
    on
        u.path = d.path
        and u.surveyed_on = d.written
        and (d.hand is null or d.hand = coalesce(u.surveyor, ''))
left join days_of_homes as h on u.is_visit_carried and u.path = h.path and u.matched_ref = h.matched_ref
left join extents_read as x on u.extent = x.written and u.extent_unit is not distinct from x.written_unit
left join recognised_words as survey_type
    on survey_type.field = 'survey_type' and u.survey_type = survey_type.written
left join recognised_words as place on place.field = 'place' and u.room = place.written
left join recognised_words as beside
    on beside.field = 'place_beside' and coalesce(u.position, u.product) = beside.written
left join outdoors
    on
        u.room = outdoors.room
        and u.product = outdoors.product
        and u.position is not distinct from outdoors.position
left join reference.places as in_block
    on p.part in ('common parts', 'non-domestic') and coalesce(outdoors.place, place.term) = in_block.place
left join recognised_words as product on product.field = 'product' and u.product = product.written
left join reference.product_families as family_of_row on product.term = family_of_row.product
left join reference.product_families as family_of_sample
    on struct_extract(u.found_in_sample, 'product') = family_of_sample.product
left join recognised_words as named on named.field = 'product' and u.product_beside = named.written
left join recognised_words as made_of
    on
        made_of.field = 'material_beside'
        and u.product is not null
        and u.position = made_of.written
        and made_of.term not in ('none', 'not_asbestos')
-- what is not named, but refers to a sample: `Boxing, as S12`
left join materials_of_samples as of_sample
    on
        u.path = of_sample.path
        and u.sheet is not distinct from of_sample.sheet
        and u.line_number = of_sample.row_number
        and u.product is not null
left join recognised_words as debris on debris.field = 'debris' and u.product = debris.written
left join recognised_words as unit on unit.field = 'extent_unit' and u.extent_unit = unit.written
left join recognised_words as identification
    on identification.field = 'identification' and u.identification = identification.written
left join recognised_words as asbestos_type
    on asbestos_type.field = 'asbestos_type' and u.asbestos_types = asbestos_type.written
left join recognised_words as in_product
    on in_product.field = 'result_in_product' and u.product = in_product.written
left join recognised_words as type_in_result
    on type_in_result.field = 'type_in_result' and u.identification = type_in_result.written
left join recognised_words as element_of_product
    on element_of_product.field = 'element' and u.product = element_of_product.written
left join recognised_words as element_of_position
    on element_of_position.field = 'element' and u.position = element_of_position.written
left join recognised_words as element_of_room
    on element_of_room.field = 'element' and u.room = element_of_room.written
left join recognised_words as damage on damage.field = 'damage' and u.damage = damage.written
left join recognised_words as surface on surface.field = 'surface' and u.surface = surface.written
left join recognised_words as accessibility
    on accessibility.field = 'accessibility' and u.accessibility = accessibility.written
left join recognised_words as band on band.field = 'material_band' and u.material_band = band.written
left join factor_answers as k
    on u.path = k.path and coalesce(u.sheet, '') = k.sheet and u.row_number = k.row_number and u.part = k.part
