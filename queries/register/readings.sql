-- One row per used register row, item written across it, and room or layer that it names. What each says, in our
-- terms, before anything is scored; where a person corrected a field, what they said.
-- $as_of: the day that the figures hold for
-- Kept as a step.
with pieces as (
    select
        field,
        written,
        piece,
        row_number() over (partition by field, written order by nth) as nth,
        count(*) over (partition by field, written) as n_pieces
    from word_parts
),

-- A table whose conditions go beyond 3 and never are 0, or often go beyond, has another scale than HSG264, and which
-- end is bad cannot be told. One that writes CR for crocidolite means chrysotile by C.
tables_read as (
    select
        table_id,
        count(*) filter (where regexp_matches(coalesce(damage_score, damage), '^([4-9]|10)(\.0+)?$'))
            as n_beyond,
        count(*) filter (where regexp_matches(coalesce(damage_score, damage), '^0')) as n_zero,
        count(*) filter (where regexp_matches(coalesce(damage_score, damage), '^[0-9]')) as n_figures,
        2 * sum(count(*) filter (where regexp_matches(extent, '[0-9]\s*[A-Za-z]'))) over of_sheet
        >= sum(count(extent)) over of_sheet as has_units,
        n_beyond > 0 and (n_zero = 0 or 10 * n_beyond >= n_figures) as is_scale_other,
        coalesce(bool_or(regexp_matches(lower(asbestos_types), '\bcro?\b')), false) as has_cr,
        -- among figures alone a letter like one was typed for it
        coalesce(
            bool_or(regexp_matches(damage, '^[0-9]'))
            and not bool_or(regexp_matches(damage, '(?i)[a-hj-km-np-z]|[a-z]{2}')), false
        ) as is_damage_in_figures,
        coalesce(
            bool_or(regexp_matches(surface, '^[0-9]'))
            and not bool_or(regexp_matches(surface, '(?i)[a-hj-km-np-z]|[a-z]{2}')), false
        ) as is_surface_in_figures,
        -- the four words of the priority assessment, by which `easy` is no more than the third
        coalesce(
            bool_or(regexp_matches(accessibility, '(?i)^\W*routine'))
            and bool_or(regexp_matches(accessibility, '(?i)^\W*(occasional|unlikely)')), false
        ) as has_four_words,
        -- figures before words, from what is out of reach at 0 to 3: the published scale, whatever the words
        coalesce(
            bool_or(regexp_matches(accessibility, '^\W*3\W+[A-Za-z]{2}'))
            and bool_or(regexp_matches(accessibility, '^\W*[12]\W+[A-Za-z]{2}'))
            and bool_or(regexp_matches(accessibility, '^\W*0\W') and is_said_out_of_reach(accessibility))
            and not bool_or(
                regexp_matches(accessibility, '^\W*([4-9]|\d\d)')
                or (regexp_matches(accessibility, '^\W*[1-3]\W') and is_said_out_of_reach(accessibility))
            ), false
        ) as is_reach_published,
        -- without any sample, what names a type beside what is presumed was analysed
        count(sample_ref) = 0
        and coalesce(
            bool_or(regexp_matches(coalesce(identification, asbestos_types), '\bpresum', 'i')), false
        ) as is_contrasted
    from register_lines
    where line = 'item'
    group by table_id, path, sheet
    window of_sheet as (partition by path, sheet)
),

-- What became of each row and what samples say of it: narrow, so that the wide rows are joined once.
fates as (
    select
        f.path,
        f.sheet,
        f.row_number,
        f.property_ref as matched_ref,
        f.match_method,
        f.match_reason,
        f.confidence,
        f.is_contradicted,
        a.sample,
        coalesce(a.is_reference, false) as is_reference,
        coalesce(a.is_elsewhere, false) as is_elsewhere,
        a.is_positive,
        list_filter(coalesce(a.types, []), lambda one: one <> 'unknown') as types_analysed,
        coalesce(a.is_sure, false) as is_sure,
        coalesce(a.is_other_material, false) as is_other_material,
        a.by_sample,
        a.source as analysis_source,
        a.unsure_reason,
        coalesce(a.is_unanswered, false) as is_unanswered
    from register_fates as f
    left join analyses as a
        on f.path = a.path and f.sheet is not distinct from a.sheet and f.row_number = a.row_number
    where not f.is_layout and f.reason_code is null
),

-- What other rows of the file say of when a home was visited, for those that took the day of the home above.
days_of_homes as (
    select
        r.path,
        f.matched_ref,
        min(d.day) as day
    from register_lines as r
    inner join fates as f
        on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
    inner join dates_read as d
        on
            r.path = d.path
            and r.surveyed_on = d.written
            and (d.hand is null or d.hand = coalesce(r.surveyor, ''))
    where
        not r.is_visit_carried
        and r.path in (
            select c.path
            from register_lines as c
            where c.is_visit_carried
        )
    group by r.path, f.matched_ref
    having min(d.day) = max(d.day)
),

-- Items side by side are parts of the row of the file in which they stand, in their order.
spread as (
    select
        w.path,
        w.sheet,
        w.row_number,
        w.source_row,
        w.is_grid,
        coalesce(rooms.n_pieces, 1) * coalesce(layers.n_pieces, 1) as n_parts,
        sum(n_parts) over (
            partition by w.path, w.sheet, w.source_row
            order by w.row_number
        ) - n_parts as parts_before
    from spread_rows as w
    inner join fates as f
        on w.path = f.path and w.sheet is not distinct from f.sheet and w.row_number = f.row_number
    inner join register_lines as r
        on w.path = r.path and w.sheet is not distinct from r.sheet and w.row_number = r.row_number
    left join pieces as rooms on rooms.field = 'place' and rooms.nth = 1 and r.room = rooms.written
    left join pieces as layers on layers.field = 'product' and layers.nth = 1 and r.product = layers.written
),

-- What a result says of each layer of a material, by its name or in its place; distinct words, as they are few.
layers_said as (
    select
        w.product,
        w.identification,
        w.asbestos_types,
        w.notes,
        layers.piece,
        layers.nth,
        layers.n_pieces,
        layers_answered(w.identification) as by_result,
        layers_answered(w.asbestos_types) as by_type,
        if(len(by_result) = 0 and len(by_type) = 0, layers_answered(w.notes), []) as by_note,
        answers_in_order(w.identification) as results_in_order,
        answers_in_order(w.asbestos_types) as types_in_order
    from (
        select distinct
            product,
            identification,
            asbestos_types,
            notes
        from register_lines
    ) as w
    inner join pieces as layers on layers.field = 'product' and w.product = layers.written
),

layers_named as (
    select
        *,
        list_filter(
            case when len(by_result) > 0 then by_result when len(by_type) > 0 then by_type else by_note end,
            lambda one: contains(layer_in_full(piece), one[1])
            -- also a misspelt `adhesve`
            or len(
                list_filter(
                    regexp_split_to_array(lower(piece), '[^a-z]+'),
                    lambda word: jaro_winkler_similarity(word, one[1]) > 0.95
                )
            ) > 0
        ) as named
    from layers_said
),

layer_answers as (
    select
        product,
        identification,
        asbestos_types,
        notes,
        nth,
        trim(
            case
                -- notes say no more than in which layer there was none
                when
                    len(by_note) > 0
                    and len(results_in_order) + len(types_in_order) = 0
                    and not regexp_matches(named[1][2], '^(nad|none|nothing|clear|no asb|neg|not det|- ?ve)')
                    then null
                when len(named) = 1 then named[1][2]
                when len(named) = 0 and n_pieces = 2 then coalesce(results_in_order[nth], types_in_order[nth])
            end
        ) as layer_answer,
        len(by_result) = 0 and len(results_in_order) = 0 as is_answered_by_type,
        len(by_note) > 0 and len(named) = 1 as is_answered_by_note
    from layers_named
),

-- What the sample found that a layer has of its own, whatever those of the others did; few rows have such.
layer_samples as (
    select
        m.path,
        m.sheet,
        m.row_number,
        m.nth,
        arg_min(m.one, struct_extract(m.one, 'key')) as found_in_sample
    from (
        select
            f.path,
            f.sheet,
            f.row_number,
            layers.nth,
            len(samples_named(coalesce(r.sample_ref, r.identification))) as n_samples,
            sample_boiled_down(samples_named(coalesce(r.sample_ref, r.identification))[layers.nth]) as sample,
            product.term as product,
            unnest(f.by_sample) as one
        from fates as f
        inner join register_lines as r
            on f.path = r.path and f.sheet is not distinct from r.sheet and f.row_number = r.row_number
        inner join pieces as layers on layers.field = 'product' and r.product = layers.written
        left join recognised_words as product on product.field = 'product' and layers.piece = product.written
        where
            len(f.by_sample) > 1
            and layers.n_pieces > 1
            and len(samples_named(coalesce(r.sample_ref, r.identification))) in (1, layers.n_pieces)
    ) as m
    where
        if(
            m.n_samples > 1,
            ends_with(struct_extract(m.one, 'key'), m.sample),
            struct_extract(m.one, 'product') = m.product
        )
    group by m.path, m.sheet, m.row_number, m.nth
    having count(*) = 1
),

used as (
    select
        r.* exclude (room, product, row_number, identification, asbestos_types, results_contradicted),
        coalesce(
            r.results_contradicted, if(a.layer_answer is not null and a.is_answered_by_note, r.notes, null)
        ) as results_contradicted,
        r.row_number as line_number,
        crossed.row_number is not null as is_struck,
        slipped.row_number is not null as is_slipped,
        shifted.row_number is not null as is_condition_shifted,
        coalesce(w.source_row, r.row_number) as row_number,
        coalesce(w.is_grid, false) as is_of_grid,
        f.* exclude (
            path, sheet, row_number, sample, is_reference, is_positive, types_analysed, is_other_material, by_sample
        ),
        f.is_reference or coalesce(refers_to_home(r.identification), false) as is_reference,
        coalesce(rooms.piece, r.room) as room,
        coalesce(layers.piece, r.product) as product,
        a.layer_answer,
        if(
            a.layer_answer is not null
            -- a type is no result, but that there is none
            and (
                not a.is_answered_by_type
                or regexp_matches(a.layer_answer, '\b(nadi?s?|none|no|not|negative)\b')
            ),
            a.layer_answer,
            r.identification
        ) as identification,
        if(
            a.layer_answer is not null and (a.is_answered_by_type or r.asbestos_types = r.identification),
            a.layer_answer,
            r.asbestos_types
        ) as asbestos_types,
        rooms.n_pieces as n_rooms,
        rooms.nth as nth_room,
        -- a layer may have a sample of its own
        if(
            layers.n_pieces > 1 and len(samples_named(coalesce(r.sample_ref, r.identification))) = layers.n_pieces,
            samples_named(coalesce(r.sample_ref, r.identification))[layers.nth],
            f.sample
        ) as sample,
        layers.piece is not null as is_layer,
        g.found_in_sample,
        if(g.found_in_sample is null, f.is_positive, struct_extract(g.found_in_sample, 'is_positive')) as is_positive,
        if(
            g.found_in_sample is null,
            f.types_analysed,
            list_filter(struct_extract(g.found_in_sample, 'types'), lambda one: one <> 'unknown')
        ) as types_analysed,
        g.found_in_sample is null and f.is_other_material as is_other_material,
        coalesce(t.is_scale_other, false) as is_scale_other,
        coalesce(t.has_cr, false) as has_cr,
        if(
            t.has_four_words,
            case regexp_extract(lower(r.accessibility), '^\W*(unlikely|occasional|eas|routine)', 1)
                when 'unlikely' then 0
                when 'occasional' then 1
                when 'eas' then 2
                when 'routine' then 3
            end,
            null
        ) as accessibility_of_four,
        if(
            t.is_reach_published,
            try_cast(regexp_extract(r.accessibility, '^\W*([0-3])\W+[A-Za-z]{2}', 1) as integer),
            null
        ) as accessibility_published,
        coalesce(t.is_contrasted, false) as is_contrasted,
        (r.path, coalesce(r.sheet, '')) in (select (one.path, one.sheet_key) from worst_grades as one) as is_poor_worst,
        r.path in (select e.path from extents_of_each as e)
        -- as much in each of the rooms: `11 sq m each`
        or coalesce(
            rooms.n_pieces > 1
            and regexp_matches(r.extent, '(?i)[a-z2²]\.?\s*\(?\b(in )?(each( room)?|per room|apiece)\)?\W*$'), false
        ) as is_extent_of_each,
        coalesce(t.is_surface_in_figures, false) as is_surface_in_figures,
        coalesce(t.is_damage_in_figures, false) as is_damage_in_figures,
        -- in a column whose other figures name their units, 1 alone is a count
        coalesce(t.has_units and r.extent_unit is null and r.extent = '1', false) as is_one,
        (
            coalesce(w.parts_before, 0)
            + (coalesce(rooms.nth, 1) - 1) * coalesce(layers.n_pieces, 1) + coalesce(layers.nth, 1)
        )::integer as part
    from register_lines as r
    inner join fates as f
        on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
    left join spread as w
        on r.path = w.path and r.sheet is not distinct from w.sheet and r.row_number = w.row_number
    left join pieces as rooms on rooms.field = 'place' and r.room = rooms.written
    left join pieces as layers on layers.field = 'product' and r.product = layers.written
    left join layer_answers as a
        on
            r.product = a.product
            and layers.nth = a.nth
            and r.identification is not distinct from a.identification
            and r.asbestos_types is not distinct from a.asbestos_types
            and r.notes is not distinct from a.notes
    left join layer_samples as g
        on
            r.path = g.path
            and r.sheet is not distinct from g.sheet
            and r.row_number = g.row_number
            and layers.nth = g.nth
    left join tables_read as t on r.table_id = t.table_id
    left join shifted_conditions as shifted
        on
            r.path = shifted.path
            and r.sheet is not distinct from shifted.sheet
            and r.row_number = shifted.row_number
    left join slipped_rows as slipped
        on r.path = slipped.path and r.sheet is not distinct from slipped.sheet and r.row_number = slipped.row_number
    left join struck_rows as crossed
        on
            r.path = crossed.path
            and r.sheet is not distinct from crossed.sheet
            and coalesce(w.source_row, r.row_number) = crossed.row_number
),

-- Distinct words first: they are few beside the rows.
worded as (
    select distinct
        coalesce(rooms.piece, r.room) as room,
        coalesce(layers.piece, r.product) as product,
        r.position
    from register_lines as r
    left join pieces as rooms on rooms.field = 'place' and r.room = rooms.written
    left join pieces as layers on layers.field = 'product' and r.product = layers.written
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
    where not n.is_sheltered or o.place = 'eaves'
    group by n.room, n.product, n.position
),

termed as (
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
                    '(?i)\blow[- ](level|down)\b'
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
            else coalesce(product.term, named.term)
        end as product_term,
        product_term <> product.term as is_product_guessed,
        if(product.term is null and named.term is not null, 'beside', product.how) as product_how,
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
                    or regexp_matches(u.product, '^\W*(no|not|nothing|none|nil|clear)\b', 'i')
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
    from used as u
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
),

-- Step by step, as DuckDB writes an alias out wherever it is used.
stated as (
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
    from termed
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
            -- sampled, and the laboratory's answer is awaited
            when
                identification_term = 'identified'
                and is_unanswered
                and len(types_said) = 0
                and regexp_matches(identification, '^\W*(bulk )?(sampled?|smpl?)( taken)?\W*$', 'i')
                then 'presumed'
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
