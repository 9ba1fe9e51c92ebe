-- One row per used register row, item written across it, and room or layer that it names, as written, with what the
-- laboratory says of it and what its table is used to.
-- Kept as a view of steps.

-- A table whose conditions go beyond 3 and never are 0, or often go beyond, has another scale than HSG264, and which
-- end is bad cannot be told. One that writes CR for crocidolite means chrysotile by C.
with tables_read as (
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
    left join word_pieces as rooms on rooms.field = 'place' and rooms.nth = 1 and r.room = rooms.written
    left join word_pieces as layers on layers.field = 'product' and layers.nth = 1 and r.product = layers.written
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
    inner join word_pieces as layers on layers.field = 'product' and w.product = layers.written
),

layers_named as (
    select
        *,
        list_filter(
            case when len(by_result) > 0 then by_result when len(by_type) > 0 then by_type else by_note end,
            lambda one: contains(layer_in_full(piece), one[1])
            -- what sticks tiles down has many names
            or (
                one[1] in ('adhesive', 'glue', 'bitumen', 'mastic')
                and regexp_matches(lower(piece), 'adhesive|glue|bitumen|mastic')
            )
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
        inner join word_pieces as layers on layers.field = 'product' and r.product = layers.written
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
)

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
    home.types_of_home,
    home.home_source,
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
left join word_pieces as rooms on rooms.field = 'place' and r.room = rooms.written
left join word_pieces as layers on layers.field = 'product' and r.product = layers.written
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
left join home_references as home
    on r.path = home.path and r.sheet is not distinct from home.sheet and r.row_number = home.row_number
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
