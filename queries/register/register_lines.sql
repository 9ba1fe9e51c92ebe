-- One row per raw row of a register sheet with a heading. The registers under our field names, as written, with what a
-- row leaves blank because a line above said it.
-- Kept as a step.
with blocks as (
    select
        h.table_id,
        min(l.block) as block
    from heading_rows as h
    inner join thin_lines as l
        on h.path = l.path and h.sheet is not distinct from l.sheet and h.heading_row = l.row_number
    where l.block is not null
    group by h.table_id
),

-- An address may begin with the reference, where no column has that.
led as (
    select
        r.path,
        r.sheet,
        r.row_number,
        regexp_extract(
            r.cells[p.address_at[1]], '^([A-Za-z0-9][A-Za-z0-9/._-]{2,})(\s*[\n\r,:;]|\s+[-–]\s)', 1
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

laboratories as (
    select coalesce(list(distinct upper(sample_ref) order by upper(sample_ref)), []) as names
    from sample_lines
    where line = 'item' and regexp_matches(sample_ref, '^[A-Za-z]{1,2}$')
),

named as (
    select
        r.table_id,
        r.path,
        r.sheet,
        coalesce(r.sheet, '') as sheet_key,
        r.row_number,
        r.line,
        r.first_said,
        nullif(
            array_to_string(
                list_filter(
                    list_transform(p.address_at, lambda position: r.cells[position]), lambda cell: cell <> ''
                ), ', '
            ), ''
        ) as address_whole,
        coalesce(nullif(r.cells[p.property_ref_at], ''), led.first_word) as property_ref,
        nullif(ltrim(r.cells[p.uprn_at], ''''), '') as uprn,
        case
            when led.first_word is not null
                then nullif(regexp_replace(substr(address_whole, length(led.first_word) + 1), '^[\s,:;–-]+', ''), '')
            else address_whole
        end as address_cells,
        -- a flat alone, or what its block shares, is of the block that is named above the table
        case
            when b.block is null then address_cells
            when
                regexp_matches(
                    address_cells,
                    '^(flat|apartment|apt|maisonette|unit)?\s*(no\.?|nr\.?|number)?\s*[0-9]{1,4}\s*[a-z]?$', 'i'
                )
                then regexp_replace(address_cells, '^([0-9])', 'Flat \1') || ', ' || b.block
            when regexp_matches(address_cells, '^(communal|common)( (areas?|parts?))?$', 'i') then b.block
            else address_cells
        end as address,
        nullif(r.cells[p.postcode_at], '') as postcode,
        nullif(r.cells[p.survey_type_at], '') as survey_type,
        nullif(r.cells[p.surveyor_at], '') as surveyor,
        nullif(r.cells[p.organisation_at], '') as organisation,
        nullif(r.cells[p.floor_at], '') as floor,
        -- one column may say where something is and, after a dash, what it is, how much, and in what state
        coalesce(p.room_at = p.product_at, false) as is_all_in_one,
        case
            when is_all_in_one
                then nullif(regexp_extract(r.cells[p.room_at], '^(.*?)(\s+[-–—]+\s+|\s*[:;]\s+|$)', 1), '')
            else nullif(r.cells[p.room_at], '')
        end as room,
        nullif(r.cells[p.position_at], '') as position,
        regexp_matches(
            r.cells[p.product_at],
            -- and nothing else: behind a door that stayed shut a material may be named
            '(?i)^\W*(no access|not accessed|not accessible|inaccessible|(unable to|could not|couldn.t) (gain )?'
            || 'access)\W*((locked|no key|refused|tenant refused|painted shut|screwed shut)\W*)?$'
        ) as is_inaccessible,
        case when not is_inaccessible then nullif(r.cells[p.product_at], '') end as product,
        list_filter(p.extents, lambda one: r.cells[struct_extract(one, 'at')] <> '')[1] as extent_read,
        case
            when is_all_in_one and p.extents is null
                then
                    nullif(
                        regexp_extract(
                            r.cells[p.product_at],
                            '(?i)\b[0-9][0-9.]*\s*(m[2²]|sq\.? ?m(etres?)?|sqm|lin\.? ?m|lm|m(etres?)?|no\.?|nr)(\W|$)'
                        ), ''
                    )
            else nullif(r.cells[struct_extract(extent_read, 'at')], '')
        end as extent,
        coalesce(nullif(r.cells[p.extent_unit_at], ''), struct_extract(extent_read, 'unit')) as extent_unit,
        nullif(r.cells[p.asbestos_types_at], '') as asbestos_types,
        case
            when is_all_in_one and regexp_matches(coalesce(r.cells[p.sample_ref_at], ''), '^\W*$')
                then
                    nullif(
                        regexp_extract(
                            r.cells[p.product_at],
                            '\b((?:[Aa]s|[Ss]ame as|[Ss]ee|[Rr]ef)(?: sample)? [A-Z]{1,4}[-/.]?[0-9]{1,6}[A-Za-z]?)\b',
                            1
                        ), ''
                    )
            else nullif(r.cells[p.sample_ref_at], '')
        end as sample_cell,
        -- words where a reference is due are no reference; only `presumed` and the like are a result, as `none` says
        -- that no sample was taken, not that there is no asbestos
        -- letters are a reference where the firm's other samples, or a laboratory, have such
        regexp_extract(
            sample_cell,
            '^(?:(?:[Aa]s|[Ss]ee|[Rr]ef|[Ss]ame as|[Aa]s per)(?: sample)? )?'
            || '([A-Za-z]{1,2}(?:\s*(?:[,&+-]|and|to)\s*[A-Z]{1,2})*)$', 1
        ) as letters,
        case
            when letters <> ''
                then
                    lower(letters) in ('no', 'na')
                    or (
                        lettered.table_id is null
                        and not list_has_all(y.names, regexp_extract_all(upper(letters), '\b[A-Z]{1,2}\b'))
                    )
            else regexp_matches(sample_cell, '^[A-Za-z][A-Za-z /,()-]{2,}$')
        end as is_sample_in_words,
        case when not is_sample_in_words then sample_cell end as sample_ref,
        -- results of several columns are read together; yes or no counts where nothing else is said, and a presumption
        -- gives way to the laboratory's outcome, which a yes denies
        list_filter(list_transform(p.results_at, lambda position: r.cells[position]), lambda cell: cell <> '')
            as results,
        list_filter(results, lambda cell: lower(cell) in ('y', 'yes', 'true')) as affirmed,
        list_filter(results, lambda cell: lower(cell) in ('n', 'no', 'false')) as denied,
        list_filter(results, lambda cell: regexp_matches(cell, 'presum|assum', 'i')) as presumed,
        coalesce(lower(r.cells[p.sampled_at]), '') as sampled_said,
        len(results) > 1
        and sampled_said not in ('n', 'no', 'false')
        and coalesce(
            regexp_matches(
                r.cells[p.outcome_at], '^\W*(no asbestos|nad|nfd|negative|not detected|none detected|-ve)', 'i'
            ), false
        ) as is_cleared,
        list_filter(
            results,
            lambda cell: lower(cell) not in ('y', 'yes', 'true', 'n', 'no', 'false')
            and not (is_cleared and regexp_matches(cell, 'presum|assum', 'i'))
        ) as telling,
        case
            when len(results) < 2 then results
            when is_cleared and len(affirmed) > 0 then affirmed[:1]
            when len(telling) > 0 then telling
            else list_concat(affirmed, denied)[:1]
        end as results_standing,
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
        array_to_string(results_standing, '; ') as result,
        -- what notes say clearly stands where nothing else does; they clear nothing without a sample of its own
        regexp_extract(
            r.cells[p.notes_at],
            '(?i)\b((strongly )?presumed[^.,;]*|(sampled|tested|analysed)\b[^.;]*'
            || '\b(detected|found|identified|confirmed|positive|negative|no asbestos|nadi?s?)\b[^.;]*'
            || '|(chrysotile|amosite|crocidolite) (detected|found|identified|confirmed))'
        ) as told,
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
                    lower(r.cells[p.accessed_at]) in ('n', 'no', 'false')
                    and not coalesce(regexp_matches(result, 'access', 'i'), false)
                    then concat_ws('; ', nullif(result, ''), 'not accessed')
                else nullif(result, '')
            end,
            case
                when
                    is_sample_in_words
                    and regexp_matches(
                        lower(sample_cell),
                        'presum|assum|access|positive|chrysotile|amosite|crocidolite|^asbestos detected'
                    )
                    then sample_cell
            end,
            case
                when is_inaccessible or (p.is_of_no_access and coalesce(len(p.results_at), 0) = 0) then 'no access'
            end,
            case when coalesce(len(p.results_at), 0) = 0 then asbestos_types end
        ) as identification_said,
        coalesce(identification_said, asbestos_types) is null and coalesce(is_told, false) as is_result_in_notes,
        case when is_result_in_notes then told else identification_said end as identification,
        sampled_said in ('y', 'yes', 'true') as is_sampled,
        nullif(r.cells[p.item_ref_at], '') as item_ref,
        -- a blank or `no change` stands for what the last visit found that says so, where the table has that too
        coalesce(
            nullif(r.cells[p.damage_at], ''),
            nullif(r.cells[p.damage_score_at], ''),
            case
                when is_all_in_one and coalesce(p.damage_at, p.damage_score_at, p.damages_before_at[1]) is null
                    then
                        nullif(
                            regexp_extract(
                                r.cells[p.product_at],
                                '(?i)\b((very |fairly )?(good|fair|poor|bad) (condition|order|repair|state)'
                                || '|(no |slight(ly)? |sl\.? |minor |some |light(ly)? |moderate(ly)? |heav(il)?y '
                                || '|bad(ly)? |severe(ly)? |extensive(ly)? |significant(ly)? )'
                                || '(visible )?(damaged?|worn|wear|breakage|scratch(ed|es)|broken|cracked)'
                                || '|undamaged|damaged( edges?)?|broken|cracked|chipped|flaking|crumbling|intact)\b'
                            ), ''
                        )
            end
        ) as damage_said,
        -- who was not there this time has seen nothing since
        coalesce(
            nullif(r.cells[p.surveyed_on_at], ''),
            case
                when damage_said is null and len(p.damages_before_at) > 0
                    then nullif(r.cells[p.surveyed_before_at], '')
            end
        ) as surveyed_on,
        surveyed_on is not null and coalesce(r.cells[p.surveyed_on_at], '') = '' as is_visit_earlier,
        coalesce(
            nullif(r.cells[p.surface_at], ''),
            nullif(r.cells[p.surface_treatment_score_at], ''),
            case
                when is_all_in_one and coalesce(p.surface_at, p.surface_treatment_score_at) is null
                    then
                        nullif(
                            regexp_extract(
                                r.cells[p.product_at],
                                '(?i)\b((not |part(ly|ially)? |un-?)?(sealed|painted)'
                                || '|encapsulated)\b'
                            ), ''
                        )
            end
        ) as surface_said,
        list_transform(
            [
                list_prepend(damage_said, list_transform(p.damages_before_at, lambda position: r.cells[position])),
                list_prepend(surface_said, list_transform(p.surfaces_before_at, lambda position: r.cells[position]))
            ],
            lambda said: list_transform(
                said,
                lambda cell: case
                    when
                        not regexp_matches(
                            cell,
                            '^\W*(n\W?c|(no (further )?(change|deterioration)|unchanged|same)'
                            || '( (since|from|as( per| in)?)'
                            || ' (last|prev(ious(ly)?)?|before|prior|earlier|(19|20)[0-9]{2})( (year|visit|survey))?)?'
                            || '|as (per |in )?(last|prev(ious(ly)?)?|before|prior|earlier|(19|20)[0-9]{2})'
                            || '( (year|visit|survey|inspection))?)\W*$', 'i'
                        )
                        then nullif(cell, '')
                end
            )
        ) as by_visit,
        by_visit[1] as conditions,
        by_visit[2] as surfaces,
        damage_said is not null and conditions[1] is null as is_unchanged,
        list_filter(conditions, lambda cell: cell is not null)[1] as damage_found,
        damage_said is null and damage_found is not null as is_damage_earlier,
        coalesce(damage_found, damage_said) as damage,
        case
            when not is_unchanged or r.cells[p.damage_at] <> ''
                then nullif(r.cells[p.damage_score_at], '')
        end as damage_score,
        nullif(r.cells[p.product_type_score_at], '') as product_type_score,
        coalesce(list_filter(surfaces, lambda cell: cell is not null)[1], surface_said) as surface,
        case when surfaces[1] is not null then nullif(r.cells[p.surface_treatment_score_at], '') end
            as surface_treatment_score,
        nullif(r.cells[p.asbestos_type_score_at], '') as asbestos_type_score,
        nullif(r.cells[p.material_score_at], '') as material_score,
        coalesce(nullif(r.cells[p.material_band_at], ''), material_score) as material_band,
        nullif(r.cells[p.priority_score_at], '') as priority_score,
        nullif(r.cells[p.accessibility_at], '') as accessibility,
        nullif(r.cells[p.recommendation_at], '') as recommendation,
        nullif(r.cells[p.notes_at], '') as notes,
        concat_ws('|', property_ref, uprn, address) as said_property,
        r.line = 'item' and coalesce(property_ref, uprn, address) is not null as names_property
    from table_rows as r
    left join table_columns as p on r.table_id = p.table_id
    cross join laboratories as y
    left join lettered on r.table_id = lettered.table_id
    left join blocks as b on r.table_id = b.table_id
    left join led
        on r.path = led.path and r.sheet is not distinct from led.sheet and r.row_number = led.row_number
    where r.kind = 'registers'
),

-- A line above names the property of the rows below it until the next such line; totals and lines that nobody
-- understands end what it said.
lines_above as (
    select
        *,
        coalesce(sheet, '') as sheet_key,
        coalesce(property_ref, uprn, address) is not null as names_property,
        names_property or line in ('totals', 'one cell') as is_home,
        room is not null or is_home as is_room,
        coalesce(survey_type, surveyed_on, surveyor, organisation) is not null as is_visit
    from thin_lines
),

sheets_with_lines as (
    select
        path,
        sheet_key,
        bool_or(names_property) as names_property
    from lines_above
    where is_room or is_visit
    group by path, sheet_key
),

sheets as (
    select
        n.path,
        n.sheet_key,
        count(*) filter (where not n.names_property) >= max(l.value) * count(*)
        or coalesce(bool_or(a.names_property), false) as carries_down,
        carries_down and count(*) filter (where n.room is null) > 0 as carries_rooms
    from named as n
    cross join reference.limits as l
    left join sheets_with_lines as a on n.path = a.path and n.sheet_key = a.sheet_key
    where n.line = 'item' and l.name = 'carry_down_share_least'
    group by n.path, n.sheet_key
),

-- The rows, and the lines above them, of the sheets where one may say something for those below, by their numbers only.
speaking as (
    select
        n.path,
        n.sheet_key,
        n.row_number,
        true as is_row,
        s.carries_down and n.names_property as is_own_home,
        s.carries_rooms and n.line = 'item' and n.room is not null as is_own_room,
        false as is_home,
        false as is_room,
        false as is_visit
    from named as n
    inner join sheets as s on n.path = s.path and n.sheet_key = s.sheet_key
    where s.carries_down or (n.path, n.sheet_key) in (select (l.path, l.sheet_key) from sheets_with_lines as l)
    union all
    select
        path,
        sheet_key,
        row_number,
        false as is_row,
        false as is_own_home,
        false as is_own_room,
        is_home,
        is_room,
        is_visit
    from lines_above
    where is_room or is_visit
),

heard as (
    select
        path,
        sheet_key,
        row_number,
        is_row,
        max(case when is_own_home then row_number end) over so_far as own_home_row,
        max(case when is_own_room then row_number end) over so_far as own_room_row,
        max(case when is_home then row_number end) over so_far as home_row,
        max(case when is_room then row_number end) over so_far as room_row,
        max(case when is_visit then row_number end) over so_far as visit_row
    from speaking
    window so_far as (
        partition by path, sheet_key
        order by row_number
        range between unbounded preceding and current row
    )
),

homes as (
    select
        path,
        sheet_key,
        row_number,
        true as is_own,
        property_ref,
        uprn,
        address,
        postcode,
        survey_type,
        surveyed_on,
        surveyor,
        organisation
    from named
    where (path, sheet_key, row_number) in (select (h.path, h.sheet_key, h.own_home_row) from heard as h)
    union all
    select
        path,
        sheet_key,
        row_number,
        false as is_own,
        property_ref,
        uprn,
        address,
        postcode,
        survey_type,
        surveyed_on,
        surveyor,
        organisation
    from lines_above
    where is_home
),

rooms as (
    select
        path,
        sheet_key,
        row_number,
        room,
        said_property
    from named
    where (path, sheet_key, row_number) in (select (h.path, h.sheet_key, h.own_room_row) from heard as h)
),

above as (
    select
        h.path,
        h.sheet_key,
        h.row_number,
        greatest(h.own_home_row, h.home_row) as source_row,
        struct_pack(
            property_ref := s.property_ref,
            uprn := s.uprn,
            address := s.address,
            postcode := s.postcode,
            survey_type := s.survey_type,
            surveyed_on := s.surveyed_on,
            surveyor := s.surveyor,
            organisation := s.organisation
        ) as source,
        h.own_room_row,
        o.room as own_room,
        o.said_property as own_room_property,
        h.room_row,
        r.room as line_room,
        v.survey_type as visit_type,
        v.surveyed_on as visit_on,
        v.surveyor as visit_by,
        v.organisation as visit_of
    from heard as h
    left join homes as s
        on
            h.path = s.path
            and h.sheet_key = s.sheet_key
            and greatest(h.own_home_row, h.home_row) = s.row_number
            and s.is_own = (coalesce(h.own_home_row, 0) >= coalesce(h.home_row, 0))
    left join rooms as o on h.path = o.path and h.sheet_key = o.sheet_key and h.own_room_row = o.row_number
    left join lines_above as r on h.path = r.path and h.sheet_key = r.sheet_key and h.room_row = r.row_number
    left join lines_above as v on h.path = v.path and h.sheet_key = v.sheet_key and h.visit_row = v.row_number
    where h.is_row
),

carried as (
    select
        n.*,
        a.source,
        a.visit_type,
        a.visit_on,
        a.visit_by,
        a.visit_of,
        n.line = 'item'
        and not n.names_property
        and coalesce(s.carries_down, false)
        and coalesce(a.source.property_ref, a.source.uprn, a.source.address) is not null as is_carried,
        case
            when n.line <> 'item' or n.room is not null then null
            when
                coalesce(a.own_room_row, 0) >= greatest(coalesce(a.room_row, 0), 1)
                and case
                    when is_carried then a.own_room_row >= a.source_row
                    else a.own_room_property = n.said_property
                end
                then a.own_room
            else a.line_room
        end as room_above
    from named as n
    left join sheets as s on n.path = s.path and n.sheet_key = s.sheet_key
    left join above as a on n.path = a.path and n.sheet_key = a.sheet_key and n.row_number = a.row_number
)

select
    table_id,
    path,
    sheet,
    row_number,
    line,
    first_said,
    is_carried,
    case when is_carried then source.property_ref else property_ref end as property_ref,
    case when is_carried then source.uprn else uprn end as uprn,
    case when is_carried then source.address else address end as address,
    case when is_carried then source.postcode else postcode end as postcode,
    coalesce(survey_type, case when is_carried then source.survey_type end, visit_type) as survey_type,
    coalesce(surveyed_on, case when is_carried then source.surveyed_on end, visit_on) as surveyed_on,
    coalesce(surveyor, case when is_carried then source.surveyor end, visit_by) as surveyor,
    coalesce(organisation, case when is_carried then source.organisation end, visit_of) as organisation,
    floor,
    coalesce(room, room_above) as room,
    room_above is not null as is_room_carried,
    position,
    product,
    extent,
    extent_unit,
    identification,
    is_sampled,
    is_result_in_notes,
    results_contradicted,
    asbestos_types,
    sample_ref,
    item_ref,
    damage,
    is_damage_earlier,
    is_visit_earlier,
    damage_score,
    product_type_score,
    surface,
    surface_treatment_score,
    asbestos_type_score,
    material_score,
    material_band,
    priority_score,
    accessibility,
    recommendation,
    notes,
    -- a room that begins with a flat tells which home of the block; the flat's door is the block's
    case
        when
            regexp_matches(
                case when is_carried then source.address else address end,
                '\b(flat|apartment|apt|unit|maisonette)', 'i'
            )
            or regexp_matches(
                coalesce(room, room_above), '\b(door|entrance|riser|meter|landing|lobby|outside|o/s)', 'i'
            )
            then null
        else
            nullif(
                lower(
                    regexp_extract(
                        coalesce(room, room_above),
                        '(?i)^\s*(?:flat|apartment|apt|unit)\.?\s*(?:no\.?\s*)?0*([0-9]+[a-z]?)\b', 1
                    )
                ), ''
            )
    end as room_flat
from carried
