-- One row per raw row of a register sheet with a heading. What the registers' rows say by themselves, under our field
-- names, as written.
-- Kept as a step.
with lines_of_blocks as (
    select
        l.path,
        coalesce(l.sheet, '') as sheet_key,
        l.row_number,
        l.block
    from thin_lines as l
    left join heading_rows as h
        on l.path = h.path and l.sheet is not distinct from h.sheet and l.row_number = h.heading_row
    where l.block is not null or h.table_id is not null
),

-- The street or block that a line above names, for the rows of its sheet.
blocks as (
    select
        t.path,
        t.sheet_key,
        t.row_number,
        l.block
    from (
        select
            path,
            coalesce(sheet, '') as sheet_key,
            row_number
        from table_rows
        where
            (path, coalesce(sheet, '')) in (
                select (b.path, b.sheet_key)
                from lines_of_blocks as b
                where b.block is not null
            )
    ) as t
    asof inner join lines_of_blocks as l
        on t.path = l.path and t.sheet_key = l.sheet_key and t.row_number >= l.row_number
),

-- An address may begin with the reference, where no column has that.
led as (
    select
        r.path,
        r.sheet,
        r.row_number,
        regexp_extract(
            r.cells[p.address_at[1]], '^([A-Za-z0-9][A-Za-z0-9/._-]{2,})(\s*[\n\r,:;|]|\s+[-–|]\s)', 1
        ) as first_word
    from table_rows as r
    inner join table_columns as p on r.table_id = p.table_id
    where
        r.kind = 'registers'
        and p.property_ref_at is null
        and regexp_matches(first_word, '[0-9]')
        and (regexp_matches(first_word, '[A-Za-z]') or length(first_word) > 4)
        and upper(first_word) in (
            select upper(replace(s.property_ref, ' ', ''))
            from stock_lines as s
        )
),

-- Tables whose samples are numbered by letters: with several that mean nothing else.
lettered as (
    select r.table_id
    from table_rows as r
    inner join table_columns as p on r.table_id = p.table_id
    where
        r.kind = 'registers'
        and r.line = 'item'
        and regexp_matches(r.cells[p.sample_ref_at], '^[A-Za-z]{1,2}$')
        and lower(r.cells[p.sample_ref_at]) not in (
            select lower(t.written)
            from reference.terms as t
            where t.field in ('identification', 'asbestos_type')
        )
    group by r.table_id
    having count(distinct upper(r.cells[p.sample_ref_at])) >= 3
),

-- What a line above a table says of its amounts: `Qty in m2 unless stated`.
units_above as (
    select
        table_id,
        min(unit) as unit
    from (
        select
            table_id,
            regexp_extract(
                lower(value),
                '\b(?:qty|quantity|quantities|amounts?|extents?|areas?|sizes?|measured|measurements?)\b[^.;0-9]{0,20}?'
                || '\bin (m2|m²|sq\.? ?m(?:etres?)?|sqm|square metres|lin\.? ?m|lm|linear metres|m|metres)(?:\W|$)',
                1
            ) as unit
        from said_above
        where field is null
    ) as s
    where unit <> ''
    group by table_id
    having min(unit) = max(unit)
),

-- Short words for what is presumed, which may stand where the sample would: `SP`; a letter alone may be a sample's.
presumptions as (
    select list(lower(written) order by written) as words
    from reference.terms
    where field = 'identification' and term in ('presumed', 'strongly_presumed') and length(written) > 1
),

laboratories as (
    select coalesce(list(distinct upper(sample_ref) order by upper(sample_ref)), []) as names
    from sample_lines
    where line = 'item' and regexp_matches(sample_ref, '^[A-Za-z]{1,2}$')
),

-- An address, without the day of the visit that may stand behind it where no column has it; the cells of results, and
-- those that tell more than yes or no. Step by step, as DuckDB writes an alias out wherever it is used.
addressed as (
    select
        r.*,
        case
            when r.day_behind is null then r.address_and_day
            else
                regexp_replace(
                    r.address_and_day,
                    '\s+\(?((?i:surveyed|inspected|visited|survey|date)(?: on)?:? *)?[0-9]{1,2}[./-][0-9./-]+\W*$', ''
                )
        end as address_whole,
        list_filter(
            r.results,
            lambda cell: lower(cell) not in ('y', 'yes', 'true', 'n', 'no', 'false')
            and not (r.is_cleared and regexp_matches(cell, 'presum|assum', 'i'))
        ) as telling
    from (
        select
            d.*,
            case
                when d.has_no_day
                    then
                        nullif(
                            regexp_extract(
                                d.address_and_day,
                                '\s(?:\(?(?i:surveyed|inspected|visited|survey|date)(?: on)?:? *)?'
                                || '([0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{2}|[0-9]{4}))\W*$',
                                1
                            ), ''
                        )
            end as day_behind,
            list_filter(d.results, lambda cell: lower(cell) in ('y', 'yes', 'true')) as affirmed,
            list_filter(d.results, lambda cell: lower(cell) in ('n', 'no', 'false')) as denied,
            list_filter(d.results, lambda cell: regexp_matches(cell, 'presum|assum', 'i')) as presumed,
            len(d.results) > 1
            and d.sampled_said not in ('n', 'no', 'false')
            and coalesce(
                regexp_matches(
                    d.outcome, '^\W*(no asbestos|nad|nfd|negative|not detected|none detected|-ve)', 'i'
                ), false
            ) as is_cleared
        from (
            select
                t.*,
                p.surveyed_on_at is null as has_no_day,
                coalesce(
                    nullif(t.cells[p.asbestos_types_at], ''),
                    nullif(
                        concat_ws(
                            ' + ',
                            case
                                when lower(t.cells[p.chrysotile_at]) in ('y', 'yes', 'true', 'x', '1') then 'chrysotile'
                            end,
                            case when lower(t.cells[p.amosite_at]) in ('y', 'yes', 'true', 'x', '1') then 'amosite' end,
                            case
                                when
                                    lower(t.cells[p.crocidolite_at]) in ('y', 'yes', 'true', 'x', '1')
                                    then 'crocidolite'
                            end
                        ), ''
                    )
                ) as asbestos_types,
                list_filter(filled(t.cells, p.results_at), lambda cell: not is_unchanged(cell)) as results_now,
                coalesce(filled(t.cells, p.results_before_at)[:1], []) as results_before,
                list_filter(results_now, lambda cell: not is_not_seen(cell) and not is_gone(cell)) as results_seen,
                -- what this visit leaves blank or says not to have changed, and what it could not see, was found before
                case
                    when len(results_before) = 0 then filled(t.cells, p.results_at)
                    when len(results_seen) > 0 then results_seen
                    when len(list_filter(results_now, lambda cell: is_gone(cell))) > 0 then results_before
                    else list_concat(results_now, results_before)
                end as results,
                len(results_before) > 0
                and len(results_seen) = 0
                and len(list_filter(filled(t.cells, p.results_at), lambda cell: is_unchanged(cell))) = 0
                    as is_result_earlier,
                case
                    when len(results_before) > 0 then list_filter(results_now, lambda cell: is_gone(cell))[1]
                end as gone,
                nullif(array_to_string(filled(t.cells, p.notes_at), '; '), '') as notes,
                -- four scores in one cell, in the order of HSG264 (2012) appendix 4: `2+1+2+2 = 7`, `2.1.2.2 (7)`
                coalesce(
                    scores_together(t.cells[p.scores_together_at]),
                    scores_together(
                        case
                            when is_unchanged(t.cells[p.material_score_at])
                                then filled(t.cells, p.materials_before_at)[1]
                            else t.cells[p.material_score_at]
                        end
                    )
                ) as scores,
                coalesce(lower(t.cells[p.sampled_at]), '') as sampled_said,
                t.cells[p.outcome_at] as outcome,
                nullif(
                    array_to_string(
                        list_filter(
                            list_transform(
                                p.address_at,
                                -- a number in a column of flats or garages is one
                                lambda position: case
                                    when not regexp_matches(t.cells[position], '^[0-9]{1,4} ?[A-Za-z]?(\.0)?$')
                                        then t.cells[position]
                                    -- the report's own number of the site, beside its address
                                    when position = p.site_at and len(p.address_at) > 1 then ''
                                    when position in (p.flat_at, p.garage_at)
                                        then
                                            if(position = p.flat_at, 'Flat ', 'Garage ')
                                            || regexp_replace(t.cells[position], '\.0$', '')
                                    else t.cells[position]
                                end
                            ),
                            lambda cell: cell <> '' and not regexp_matches(cell, '(?i)^(not (in|on) (the )?list|n/?a)$')
                        ), ', '
                    ), ''
                ) as address_and_day
            from table_rows as t
            left join table_columns as p on t.table_id = p.table_id
            where t.kind = 'registers'
        ) as d
    ) as r
),

-- What a row says under each of our names: step by step again.
named as (
    select
        r.*,
        p.* exclude (table_id),
        y.names as laboratory_names,
        list_contains(u.words, lower(r.cells[p.sample_ref_at])) as is_presumption_for_sample,
        if(p.extent_unit_at is null, v.unit, null) as unit_above,
        lettered.table_id is not null as is_lettered,
        b.block,
        led.first_word,
        -- one column may say where something is and, after a dash, what it is, how much, and in what state
        coalesce(p.room_at = p.product_at, false) as is_all_in_one,
        -- a storey is no room: what stands beside it tells which
        coalesce(is_storey(r.cells[p.room_at]) and regexp_matches(r.cells[p.position_at], '[A-Za-z0-9]'), false)
            as is_storey_alone,
        regexp_matches(
            r.cells[p.product_at],
            -- and nothing else: behind a door that stayed shut a material may be named
            '(?i)^\W*(no access|n/acc(ess)?|not accessed|not accessible|inaccessible'
            || '|(unable to|could not|couldn.t) (gain )?'
            || 'access)\W*((locked|no key|refused|tenant refused|painted shut|screwed shut)\W*)?$'
        ) as is_inaccessible,
        -- a result for each of two layers, and a description beside the product that names both
        regexp_matches(r.cells[p.product_beside_at], '(?i)\w\W+(on|onto|over|under|above|beneath|below|with|and)\W+\w')
        and len(answers_in_order(r.asbestos_types)) = 2 as is_of_layers,
        list_filter(p.extents, lambda one: r.cells[struct_extract(one, 'at')] <> '') as extents_said,
        -- where this visit says no amount, or that it is as it was, that of the last one stands
        list_filter(
            filled(r.cells, p.extents_before_at),
            lambda cell: regexp_matches(cell, '[0-9]')
            and (
                len(extents_said) = 0
                or is_unchanged(r.cells[struct_extract(extents_said[1], 'at')])
            )
        )[1] as extent_last,
        -- an area tells more than how many pieces it is of
        coalesce(
            list_filter(
                extents_said,
                lambda one: regexp_matches(
                    r.cells[struct_extract(one, 'at')], '(?i)[0-9]\s*(m2|m²|sq\.? ?m(etres?)?|sqm)\b'
                )
            )[1],
            extents_said[1]
        ) as extent_read,
        case
            when led.first_word is not null
                then nullif(regexp_replace(substr(address_whole, length(led.first_word) + 1), '^[\s,:;–-]+', ''), '')
            else address_whole
        end as address_cells,
        -- what notes say clearly stands where nothing else does; they clear nothing without a sample of its own
        regexp_extract(
            r.notes,
            '(?i)\b((strongly )?presumed[^.,;]*|(sampled|tested|analysed)\b[^.;]*'
            || '\b(detected|found|identified|confirmed|positive|negative|no asbestos|nadi?s?|chrysotile|amosite'
            || '|crocidolite)\b[^.;]*'
            || '|(chrysotile|amosite|crocidolite) (detected|found|identified|confirmed)'
            -- first of all the types, and the sample
            || '|^((chrysotile|amosite|crocidolite)( and |[ ,&+/]+))+[A-Z]{1,4}[-/.]?[0-9]{1,6}(?:[-/.][0-9]{1,6})*'
            || '|\b(lab|result)\b[^.]*\b(chrysotile|amosite|crocidolite|nadi?s?|none detected|no asbestos)\b[^.]*)'
        ) as told,
        list_filter(
            telling,
            lambda cell: not regexp_matches(
                cell, '^\W*(not (re-?)?(inspected|seen|accessed|visited)|no (access|entry))', 'i'
            )
        ) as found_before,
        nullif(r.cells[p.extent_removed_at], '') as taken_out,
        nullif(r.cells[p.extent_remaining_at], '') as left_there,
        coalesce(
            case when p.reinspected_at is distinct from p.surveyed_on_at then nullif(r.cells[p.surveyed_on_at], '') end,
            r.day_behind,
            -- `this house seen 24/06/2016`, in a list of one day
            case
                when p.surveyed_on_at is null
                    then
                        nullif(
                            regexp_extract(
                                r.notes,
                                '(?i)\bthis (?:house|flat|home|property|one)(?: was)? (?:seen|visited|surveyed)'
                                || '(?: on)?:? ([0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{4}|[0-9]{2}))\b', 1
                            ), ''
                        )
            end
        ) as own_day,
        -- when to come again is no day of a re-inspection: `12 mth`, `asap`
        case
            when
                not regexp_matches(
                    r.cells[p.reinspected_at],
                    '(?i)^\W*([0-9]+[ -]*(m|mths?|mos?|months?|monthly|y|yrs?|years?|yearly|w|wks?|weeks?)'
                    || '|annual\w*|asap)\W*$'
                )
                then nullif(r.cells[p.reinspected_at], '')
        end as reinspected_on
    from addressed as r
    left join table_columns as p on r.table_id = p.table_id
    cross join laboratories as y
    cross join presumptions as u
    left join lettered on r.table_id = lettered.table_id
    left join units_above as v on r.table_id = v.table_id
    left join blocks as b on r.path = b.path and coalesce(r.sheet, '') = b.sheet_key and r.row_number = b.row_number
    left join led
        on r.path = led.path and r.sheet is not distinct from led.sheet and r.row_number = led.row_number
),

said as (
    select
        *,
        -- a flat alone, or what its block shares, is of the block that is named above the table
        case
            when block is null then address_cells
            when
                regexp_matches(
                    address_cells,
                    '^((flat|flt|fl|apartment|apt|maisonette|mais|unit|studio|garage|gge)\.?)?\s*(no\.?|nr\.?|number)?'
                    || '\s*[0-9]{1,4}\s*[a-z]?$',
                    'i'
                )
                then address_cells || ', ' || block
            when
                regexp_matches(
                    address_cells, '^(communal|comm?|c/p|common|landlord.?s?|shared)\.?( (areas?|parts?))?$', 'i'
                )
                then block
            when
                regexp_matches(
                    address_cells,
                    '^(communal|comm?|common|landlord.?s?)\.?( (areas?|parts?))? +[0-9]+ *(-|to) *[0-9]+$',
                    'i'
                )
                then address_cells || ', ' || block
            -- a number and how the street above begins: `5 Coppin` below `Coppin Close`
            when
                regexp_full_match(address_cells, '(?i)[0-9]{1,4}[a-z]?[ ,]+[a-z]{4,}')
                and starts_with(lower(block), lower(regexp_extract(address_cells, '[A-Za-z]{4,}$')) || ' ')
                then regexp_extract(address_cells, '(?i)^[0-9]+[a-z]?') || ' ' || block
            else address_cells
        end as address,
        case
            when is_inaccessible then null
            -- all of a home, and nothing in it
            when
                is_all_in_one
                and regexp_full_match(
                    cells[product_at],
                    '(?i)\W*((the )?(whole|entire)|all( of)?( the)?) (house|flat|property|home|dwelling|bungalow)\W*'
                )
                then null
            when
                regexp_matches(
                    cells[product_at], '(?i)^\W*(other\W+)?(please )?see (the )?(note|remark|comment)s?\W*$'
                )
                then coalesce(notes, cells[product_at])
            when is_of_layers then cells[product_beside_at]
            else nullif(cells[product_at], '')
        end as product,
        case
            -- what remains of a material is how much there is of it
            when is_figure(left_there) then left_there
            when is_all_in_one and extents is null
                then
                    nullif(
                        regexp_extract(
                            cells[product_at],
                            '(?i)\b[0-9][0-9.]*\s*(m[2²]|sq\.? ?m(etres?)?|sqm|lin\.? ?m|lm|m(etres?)?|no\.?|nr'
                            || '|off|panels?|sheets?|boards?|doors?|tiles?|pads?)(\W|$)'
                        ), ''
                    )
            else
                coalesce(
                    extent_last,
                    nullif(cells[struct_extract(extent_read, 'at')], ''),
                    if(is_figure(taken_out), taken_out, null),
                    -- an amount that stands in the notes alone
                    nullif(
                        regexp_extract(
                            notes,
                            '(?i)(?:^|\b(?:qty|quantity|approx(?:imately|\.)?|abt|about|circa|c\.|around)[: ]*)'
                            || '([0-9][0-9.]*\s*(?:m[2²]|sq\.? ?m(?:etres?)?|sqm|lin\.? ?m|lm|m run))(?:\W|$)', 1
                        ), ''
                    )
                )
        end as extent,
        nullif(cells[struct_extract(extent_read, 'at')], '') as extent_found,
        case
            when is_all_in_one and regexp_matches(coalesce(cells[sample_ref_at], ''), '^\W*$')
                then
                    nullif(
                        regexp_extract(
                            cells[product_at],
                            '\b((?:[Aa]s|[Ss]ame as|[Ss]ee|[Rr]ef)(?: sample)? [A-Z]{1,4}[-/.]?[0-9]{1,6}[A-Za-z]?)\b',
                            1
                        ), ''
                    )
            else
                coalesce(
                    nullif(cells[sample_ref_at], ''),
                    regexp_replace(nullif(cells[sample_like_at], ''), '^(?i:as |see |same as )?', 'as ')
                )
        end as sample_cell,
        -- results of several columns are read together; yes or no counts where nothing else is said, and a presumption
        -- gives way to the laboratory's outcome, which a yes denies
        case
            when len(results) < 2 then results
            -- who could not come in this time found nothing else
            when len(found_before) between 1 and len(telling) - 1 then found_before
            when is_cleared and len(affirmed) > 0 then affirmed[:1]
            when len(telling) > 0 then telling
            else list_concat(affirmed, denied)[:1]
        end as results_standing,
        -- a blank, `no access` or `no change` stands for what the last visit found that says so, where there is one
        coalesce(
            case
                when
                    coalesce(len(damages_before_at), 0) = 0
                    or not is_not_seen(cells[damage_at])
                    then nullif(cells[damage_at], '')
            end,
            case
                when
                    coalesce(len(damages_before_at), 0) = 0
                    or not is_not_seen(cells[damage_score_at])
                    then nullif(cells[damage_score_at], '')
            end,
            case
                when is_all_in_one and coalesce(damage_at, damage_score_at, damages_before_at[1]) is null
                    then
                        nullif(
                            regexp_extract(
                                cells[product_at],
                                '(?i)\b((very |fairly )?(good|fair|poor|bad) (condition|order|repair|state)'
                                || '|(no |slight(ly)? |sl\.? |minor |some |light(ly)? |moderate(ly)? |heav(il)?y '
                                || '|bad(ly)? |severe(ly)? |extensive(ly)? |significant(ly)? )'
                                || '(visible )?(damaged?|worn|wear|breakage|scratch(ed|es)|broken|cracked)'
                                || '|undamaged|damaged( edges?)?|broken|cracked|chipped|flaking|crumbling|intact)\b'
                            ), ''
                        )
            end
        ) as damage_said,
        coalesce(
            nullif(cells[surface_at], ''),
            case
                when
                    coalesce(len(surfaces_before_at), 0) = 0
                    or not is_not_seen(cells[surface_treatment_score_at])
                    then nullif(cells[surface_treatment_score_at], '')
            end,
            case
                when coalesce(surface_at, surface_treatment_score_at) is null
                    then
                        nullif(
                            surface_beside(
                                concat_ws(
                                    ' ; ',
                                    cells[damage_at],
                                    cells[product_at],
                                    -- a note that says nothing else
                                    case when length(notes) <= 14 then notes end
                                )
                            ), ''
                        )
            end
        ) as surface_said,
        coalesce(
            case
                -- no reference, but that there is none
                when
                    not regexp_matches(
                        cells[property_ref_at],
                        '(?i)^\W*((common|communal|comm|landlord.?s?)( (areas?|parts?))?|n/?a|none|not known'
                        || '|tb[ac])?\W*$'
                    )
                    then cells[property_ref_at]
            end, first_word
        ) as property_ref
    from named
),

by_visits as (
    select
        *,
        -- letters are a reference where the firm's other samples, or a laboratory, have such
        regexp_extract(
            sample_cell,
            '^(?:(?:[Aa]s|[Ss]ee|[Rr]ef|[Ss]ame as|[Aa]s per)(?: sample)? )?'
            || '([A-Za-z]{1,2}(?:\s*(?:[,&+-]|and|to)\s*[A-Z]{1,2})*)$', 1
        ) as letters,
        list_transform(
            [
                list_prepend(damage_said, list_transform(damages_before_at, lambda position: cells[position])),
                list_prepend(surface_said, list_transform(surfaces_before_at, lambda position: cells[position]))
            ],
            lambda said: list_transform(
                said,
                lambda cell: case when not is_unchanged(cell) then nullif(cell, '') end
            )
        ) as by_visit,
        array_to_string(results_standing, '; ') as result
    from said
),

found as (
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
    from by_visits
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
                            '(?i)n|no|false|refused|denied|not (gained|obtained|made|achieved|granted|given)'
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
            -- a tick beside a blank result, as databases have it
            case
                when lower(cells[strongly_presumed_at]) in ('y', 'yes', 'true', 'x', '1', '-1') then 'strongly presumed'
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
                        [concat_ws('; ', nullif(cells[damage_at], ''), notes), cells[position_at]],
                        lambda text: regexp_matches(
                            text,
                            '(?i)^\W*((locked|no keys?|nobody in|tenant out|painted shut|screwed shut|stuck|blocked)'
                            || '\W+)?(no (access|entry)|not accessed|access (refused|denied)'
                            || '|(unable to|could not) (gain |get )?(access|in|enter))\b'
                        )
                    )) > 0
                    then 'no access'
                -- and where all of a home was looked at
                when
                    is_all_in_one
                    and product is null
                    and regexp_matches(
                        notes, '(?i)\b(nothing|no) (is |looks |materials? |items? )?(suspect(ed)?|suspicious|acms?)\b'
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
