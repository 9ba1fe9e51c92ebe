-- What several queries do alike: how their sentences are worded, and rules of theirs. One macro each, made before all
-- tables.

-- A figure to two digits that count, from ten on whole, as the pages write it.
create macro figure(value) as
case
    when value = 0 then '0'
    when value < 0.0001 then 'under 0.0001'
    when value >= 10 then format('{:,}', round_even(value, 0)::bigint)
    else printf('%.2g', value::double)
end;

-- Exceedances of a year, with their range where there is one, and what adds the most to them.
create macro exceeded(exceedances, low, high, reasons) as
case
    when exceedances = 0 then 'No exceedance is expected'
    when exceedances < 0.0001 then 'Under 0.0001 exceedances a year'
    else figure(exceedances) || if(figure(exceedances) = '1', ' exceedance a year', ' exceedances a year')
end
|| case
    when exceedances >= 0.0001 and low is not null
        then ' (90 % range ' || figure(low) || ' to ' || figure(high) || ')'
    else ''
end
|| coalesce(', most from ' || reasons, '');

-- What of the exceedances of a year is left where everybody takes care, with its range where there is one.
create macro remaining(exceedances, low, high) as
'With good practice ' || figure(exceedances)
|| if(low is null, '', ' (90 % range ' || figure(low) || ' to ' || figure(high) || ')')
|| if(figure(exceedances) = '1', ' remains', ' remain');

-- A name within a sentence.
create macro within(name) as
lower(left(name, 1)) || substr(name, 2);

-- One work at one kind of material, with what it adds.
create macro pair(work, material, is_possible, exceedances) as
within(work) || ' at ' || case when is_possible then 'possible ' else '' end || material
|| ' (' || figure(exceedances) || ')';

-- What else is recorded beside one item.
create macro more_items(number, kind) as
case
    when number = 0 then ''
    when number = 1 then '; 1 more item' || kind || ' is recorded here'
    else '; ' || format('{:,}', number) || ' more items' || kind || ' are recorded here'
end;

-- The number of a cell of work: how often a profile is touched in one scope (home or room) of one stratum.
create macro work_cell(profile_id, scope, stratum_id) as
(2 * profile_id::bigint + (scope = 'room')::integer) * 1000000 + stratum_id;

-- What a cell of work is of, told from its number.
create macro cell_profile(cell_id) as
cell_id // 2000000;

create macro cell_is_room(cell_id) as
cell_id // 1000000 % 2 = 1;

create macro cell_stratum(cell_id) as
cell_id % 1000000;

-- Whether a profile is the one of what was never looked for, which counts as undamaged, sealed and of usual reach.
create macro is_usual(damage, sealing, reach_percent) as
damage = '0' and sealing = 'sealed' and reach_percent = 100;

-- The source of the chance that an archetype holds a material where nobody has looked.
create macro possible(archetype, part, contact_code) as
'possible ' || archetype || ' ' || part || ' ' || contact_code;

-- What the lists of some rows hold, each once and in order, whatever the order of the rows.
create macro each_once(lists) as
list_sort(list_distinct(flatten(list(lists))));

-- A name with its area, which is not said twice.
create macro in_area(name, area) as
case when ends_with(lower(name), lower(area)) then name else name || ', ' || area end;

-- What names a layer, in small letters, with `adh.` in full and without the letter of its sample: `Tiles (A): NAD`.
create macro layer_in_full(said) as
regexp_replace(
    regexp_replace(lower(said), '\b(adh|adhes)\b\.?', 'adhesive', 'g'), ' *\(([a-z]|[0-9]{1,2})\) *:', ':', 'g'
);

-- A result that says in which layer it was found, turned to what others say: `chrys in tile` is `tile chrys`.
create macro layers_first(result) as
regexp_replace(
    regexp_replace(layer_in_full(result), ',? *\b(from )?(the |out of )?same (bag|sample)\b', '', 'g'),
    '\b((?:chr|amo|cro)[a-z]*|white|brown|blue|nad[a-z]*|none|nothing|clear|negative)(?: asbestos| found| detected)?'
    || ' in (?:the )?(tile|adhesive|bitumen|mastic|backing|vinyl|lino|felt)s?\b',
    '\2 \1',
    'g'
);

-- What a result says of each layer of a material, and which: `Tiles: none; adhesive: chrysotile`, `Tile - none found`.
create macro layers_answered(result) as
case
    when
        regexp_matches(
            layer_in_full(result), '[a-z] *[:–-] +[a-z].*[a-z] *[:–-] +[a-z]|[a-z]:.*[a-z]:', 's'
        )
        then
            list_zip(
                regexp_extract_all(
                    regexp_replace(layer_in_full(result), ' */ *([a-z ]+:)', '; \1', 'g'),
                    '([a-z]{3,}?)s? *(?::|[–-] ) *([a-z][^,;.:\n]+)', 1
                ),
                regexp_extract_all(
                    regexp_replace(layer_in_full(result), ' */ *([a-z ]+:)', '; \1', 'g'),
                    '([a-z]{3,}?)s? *(?::|[–-] ) *([a-z][^,;.:\n]+)', 2
                )
            )
    -- `tile chrysotile; bitumen NAD`, `tiles -ve / adhesive +ve`, `chrys in tile, adhesive clear`
    when
        len(
            regexp_extract_all(
                layers_first(result),
                '\b(tile|adh(?:esive)?|bitumen|mastic|backing|vinyl|lino|felt)s? +'
                || '(chr|white|amo|brown|cro|blue|nad|none|nothing|clear|no asb|neg|pos|not det|ident|[+-] ?ve'
                || '|s\.?p\.? )'
            )
        ) > 1
        then
            list_zip(
                regexp_extract_all(
                    layers_first(result),
                    '\b(tile|adh(?:esive)?|bitumen|mastic|backing|vinyl|lino|felt)s? +'
                    || '(?:chr|white|amo|brown|cro|blue|nad|none|nothing|clear|no asb|neg|pos|not det|ident|[+-] ?ve'
                    || '|s\.?p\.? )',
                    1
                ),
                regexp_extract_all(
                    regexp_replace(
                        layers_first(result), ' */ *(tile|adh|bitumen|mastic|backing|vinyl|lino|felt)', '; \1', 'g'
                    ),
                    '\b(?:tile|adh(?:esive)?|bitumen|mastic|backing|vinyl|lino|felt)s? +'
                    || '((?:chr|white|amo|brown|cro|blue|nad|none|nothing|clear|no asb|neg|pos|not det|ident|[+-] ?ve'
                    || '|s\.?p\.? )[^,;.:\n]*)',
                    1
                )
            )
    -- `chrysotile (tile) / NADIS (adhesive)`
    when regexp_matches(result, '[A-Za-z] *\([A-Za-z ]{3,}\).*[A-Za-z] *\([A-Za-z ]{3,}\)', 's')
        then
            list_zip(
                regexp_extract_all(lower(result), '[^()/;,:]*[a-z][^()/;,:]*? *\((?:[a-z ]* )?([a-z]{3,}?)s?\)', 1),
                regexp_extract_all(lower(result), '([^()/;,:]*[a-z][^()/;,:]*?) *\((?:[a-z ]* )?[a-z]{3,}?\)', 1)
            )
    else []
end;

-- What an answer to whether there is a sample says in full, as a result: `no` is `not sampled`, `yes - white` is
-- `sampled - white`, and `no, as T/110` refers to a sample. A yes alone tells no result.
create macro sampled_in_full(answer) as
case
    when regexp_full_match(answer, '(?i)\W*(y|yes|true)\W*') then ''
    when regexp_full_match(answer, '(?i)\W*(n|no|false)\W*') then 'not sampled'
    when regexp_matches(answer, '(?i)^\W*(n|no)\W+(same|as|see|like|similar|sim|ref|x-?ref)\b')
        then regexp_replace(answer, '(?i)^\W*(n|no)\W+', '')
    when regexp_matches(answer, '(?i)^\W*(n|no)\s*[,;:.(–—-]')
        then regexp_replace(answer, '(?i)^\W*(n|no)\b\s*[,;:.–—-]?\s*', 'not sampled - ')
    else regexp_replace(answer, '(?i)^\W*(y|yes)\b(\s*[,;:.–—-]\s*|\s+|(\())', 'sampled - \3')
end;

-- The layer of a floor that a result answers beside the one that is named: `Tile NADIS / adhesive positive` of a tile.
create macro layer_unnamed(product, result) as
case
    when not contains(lower(result), 'tile') then null
    when
        regexp_matches(product, '(?i)\btiles?\b')
        and not regexp_matches(product, '(?i)adhesive|bitumen|mastic|glue')
        and len(layers_answered(result)) = 2
        then nullif(regexp_extract(lower(result), '\b(adhesive|bitumen|mastic)\b'), '')
    when
        regexp_matches(product, '(?i)^\W*((black|bitumen|bituminous) )*(adhesive|bitumen|mastic|glue)\W*$')
        and len(layers_answered(result)) = 2
        then 'floor tile'
end;

-- What a result says of layers in their order, where it denies one of them, `Chrysotile / NADIS`, or says of each
-- how surely it is presumed: `SP / pres`.
create macro answers_in_order(result) as
case
    when
        regexp_matches(
            result,
            '(?i)^\W*(s\.?p|strong(ly)? pres(umed)?|pres(umed)?)\W*/\W*(s\.?p|strong(ly)? pres(umed)?|pres(umed)?)\W*$'
        )
        then list_transform(string_split(result, '/'), lambda one: lower(trim(one)))
    when
        regexp_matches(result, '(?i)^[^/]+/[^/]+$')
        and regexp_matches(
            result, '(?i)\b(chr|amo|cro|posit|detected|conf|identified|asbestos found|(ch|am|cr)\b)'
        )
        and regexp_matches(
            result, '(?i)(^|/)\W*(nadi?s?|nfd|none( detected)?|negative|no asbestos( detected)?)\W*(/|$)'
        )
        then list_transform(string_split(result, '/'), lambda one: lower(trim(one)))
    else []
end;

-- Whether words say that nobody can ordinarily get at something: `shut away`, `out of reach`.
create macro is_said_out_of_reach(written) as
regexp_matches(
    written,
    '(?i)\b(out of ((ordinary|normal|easy) )?reach|inaccessible|unreachable|(not|cannot be) (accessible|reach\w*)'
    || '|shut (away|in|off)|sealed (in|up|off|away)|closed (in|up|off)|enclosed|boxed in|built in|bricked up|buried'
    || '|hidden|concealed|encased|unlikely to be disturbed)\b'
);

-- Whether a result is that of another home, not of this one's samples: `as Flat 2 (amosite)`, `same as 14 Elm Road`,
-- also behind what was found there: `Brown - as Flat 2`, `White (as next door)`.
create macro refers_to_home(result) as
regexp_matches(
    result,
    '(^\W*|\s[-–—]\s+|[,;(]\s*)(?i:(same )?as( (at|in|for))?) '
    || '((?i:next door|(flat|apartment|apt|house|bungalow|number|no)\b\.? ?[0-9]{1,4}[a-z]?)\b'
    || '|[0-9]{1,4}[A-Za-z]? [A-Z][a-z]{2})'
);

-- The references of samples that a text names.
create macro samples_named(said) as
case
    -- each may say of which layer: `RB 18/04 (tile), RB 18/05 (glue)`
    when
        regexp_full_match(
            regexp_replace(said, '\s*\([A-Za-z ]+\)', '', 'g'),
            '[A-Z]{1,4} [0-9]+([-/.][0-9]+)*[A-Za-z]?(\s*[/,&]\s*[A-Z]{1,4} [0-9]+([-/.][0-9]+)*[A-Za-z]?)+'
        )
        then regexp_extract_all(said, '[A-Z]{1,4} [0-9]+(?:[-/.][0-9]+)*[A-Za-z]?')
    else
        regexp_extract_all(
            said, '\b(?:[0-9]{1,3}[A-Za-z]{1,4}[-/]|[A-Za-z]{1,4}[-/.]?)[0-9]+(?:[-/.][0-9]+)*[A-Za-z]?\b'
        )
end;

-- A sample as `sample_keys` compares it, without marks between.
create macro sample_boiled_down(said) as
regexp_replace(regexp_replace(upper(said), '[^A-Z0-9]+', '', 'g'), '([A-Z])0+([0-9])', '\1\2', 'g');

-- What words of a condition say of the surface: `good, painted`.
create macro surface_beside(said) as
regexp_extract(
    said,
    '(?i)\b((((never|no longer|nor|not) )((been|ever|yet|properly) )*|part(ly|ially)? |un-?)?'
    || '(sealed|painted|ptd|papered over|wallpapered|whitewashed)|encapsulated|bare)\b'
);

-- A day that is written without its year, `11 May` or `12/5`, in the year that stands above it; else null.
create macro day_in_year(day, year_above) as
case
    when regexp_full_match(day, '(?i)[0-9]{1,2}(st|nd|rd|th)? +[a-z]{3,9}\.?|[0-9]{1,2}[/.][0-9]{1,2}')
        then
            rtrim(day, '.')
            || coalesce(nullif(regexp_extract(day, '^[0-9]+([/.])', 1), ''), ' ')
            || year_above
            || ' (year above)'
end;

-- Whether a cell says no more than that the visit found what the one before did.
create macro is_unchanged(cell) as
regexp_matches(
    cell,
    '^\W*(n\W?c|(no (further )?(change|deterioration)|unchanged|same|u/c)'
    || '( (since|from|as( per| in)?)'
    || ' (the )?(last|prev(ious(ly)?)?|before|prior|earlier|(19|20)[0-9]{2})'
    || '( (year|visit|survey))?)?'
    || '|as (per |in )?(last|prev(ious(ly)?)?|before|prior|earlier|(19|20)[0-9]{2})'
    || '( (year|visit|survey|inspection))?)\W*$', 'i'
);

-- Whether a cell says no more than that nobody could look.
create macro is_not_seen(cell) as
regexp_matches(cell, '(?i)^\W*(n/?a|(no|not|in) ?access(ed|ible)?\b.*|no entry\b.*|not (seen|inspected|visited)\b.*)$');

-- Whether a re-inspection found the item as it was, or did not come to it.
create macro is_as_it_was(cell) as
is_unchanged(cell)
or is_not_seen(cell)
or regexp_matches(
    cell, '(?i)^\W*(no change|unchanged|n/?acc|ok\W*$|as (it )?was|c-?19|covid|not done|couldn.?t get in)\b'
);

-- Whether a result says no more than that the material is there no longer.
create macro is_gone(cell) as
regexp_matches(
    cell, '(?i)^\W*(all )?(removed|gone|taken (out|down)|stripped out|no longer)\b|\b(gone now|now gone)\b'
);

-- The place that is named beside a room, where that is meant: a cupboard in a hall is a place of its own, and so is a
-- room on the roof or in the basement; where the room tells no place, what is named beside it may.
create macro place_beside(place, room, beside, told) as
case
    when
        place = 'hall_landing'
        and beside in ('meter_cupboard', 'airing_cupboard', 'under_stairs')
        and not regexp_matches(
            told, '\b(above|over|below|beneath|beside|behind|opposite|near|outside|next|adj\w*)\b', 'i'
        )
        -- a heater stands in its cupboard only where that is named
        and not (
            regexp_matches(told, '\b(unit|heater)\b', 'i')
            and not regexp_matches(told, '\b(cup\w*|cpd|cpbd|closet|store|housing|enclosure)\b', 'i')
        )
        then beside
    when
        place in ('roof', 'floor_void') and beside in ('loft', 'plant_room', 'meter_cupboard', 'riser', 'bin_store')
        then beside
    when place is null and room is not null then beside
end;

-- Whether a cell names no more of a place than its storey, or that it is inside: `Ground`, `1st/2nd`, `Internal`.
create macro is_storey(cell) as
regexp_matches(
    cell,
    '(?i)^\W*(((lower|upper) )?(gr?o?u?nd|gf|ff|sf|tf|first|second|third|fourth|fifth|top|[0-9]{1,2}(st|nd|rd|th))'
    || '|(level|lvl|floor) ?[0-9]{1,2}|levels?|lvl|floors?|flr|fl|storeys?|all|both|every|and|to'
    || '|int(ernal(ly)?)?|inside|interior|\W)+$'
);

-- The cells of several columns, but for blank ones.
create macro filled(cells, positions) as
list_filter(list_transform(positions, lambda position: cells[position]), lambda cell: cell <> '');

-- The four scores of a material assessment that one cell has, in their order, as text.
create macro scores_together(said) as
case
    when
        regexp_matches(
            said,
            '(?i)^\W*((tiles?|adh\w*|bitumen|mastic)\W+)?[1-3]( *[+/.·–-] *[0-3]){3}\b'
        )
        then regexp_extract_all(said, '[0-3]')[:4]
    when
        regexp_matches(
            said,
            '(?i)^\W*P[a-z]{0,6}[ :=]*[1-3]\W+D[a-z]{0,6}[ :=]*[0-3]'
            || '\W+S[a-z]{0,6}[ :=]*[0-3]\W+[AT][a-z]{0,7}[ :=]*[0-3]\b'
        )
        then regexp_extract_all(said, '[0-3]')[:4]
end;

-- The total that stands behind four scores: `2+1+2+2 = 7`, `2.1.2.2 (7)`.
create macro total_beside(said) as
nullif(regexp_extract(said, '[0-3]\s*(?:=\s*|[(\[]\s*=?\s*)([0-9]{1,2})\s*[)\]]?\s*$', 1), '');

-- The score of a surface in the words of the material assessment itself (HSG264 (2012) appendix 4; from memory).
create macro surface_option(said) as
case
    when regexp_matches(said, '(?i)^\W*composite\b.*\b(reinforced|resins?|vinyl)\b') then '0'
    when regexp_matches(said, '(?i)\b(unsealed|bare) (aib|board|insulating board)\b.*\bencapsulated (lagging|sprays?)')
        then '2'
    when regexp_matches(said, '(?i)^\W*unsealed (lagging|sprays?)\b.*\b(lagging|sprays?)\b') then '3'
    when regexp_matches(said, '(?i)\benclosed (lagging|sprays?)\b.*\bcement\b') then '1'
end;

-- A score for which a letter like it was typed, as a figure.
create macro score_typed(said) as
case when said in ('O', 'o') then '0' when said in ('l', 'I') then '1' else said end;

-- Whether a cell says how much, and more than nothing: `6 m2`, `approx 2`.
create macro is_figure(cell) as
coalesce(regexp_matches(cell, '^[^0-9]*0*([.,]0*)?[1-9]'), false);

-- Whether all of a material was taken out: nothing is left of it, all of it or as much as there was is gone.
create macro is_all_taken(extent, taken_out, left_there) as
coalesce(
    case
        when left_there is not null
            then
                regexp_full_match(
                    left_there, '(?i)\W*(0+([.,]0+)?|nil|none|nothing|all (removed|gone))( ?[a-z]+2?)?\W*'
                )
                and coalesce(not regexp_matches(taken_out, '(?i)^\W*(0+([.,]0+)?|nil|none|nothing)\b'), true)
        when regexp_matches(taken_out, '(?i)^\W*(all|whole|entire|complete|100 ?%)\b') then true
        else
            is_figure(taken_out)
            and try_cast(regexp_extract(taken_out, '[0-9]+(\.[0-9]+)?') as decimal(18, 4))
            = try_cast(regexp_extract(extent, '[0-9]+(\.[0-9]+)?') as decimal(18, 4))
    end,
    false
);

-- What a cell of samples says that names another sample for what is presumed there: `S/PRES K01`, `presumed as S12`.
create macro presumed_as(cell) as regexp_extract(
    cell,
    '(?i)^\W*((?:s(?:tr(?:ongly)?)?\.?[\s/-]*)?(?:pres|ass)(?:umed)?\.?)[\s:,(–-]+'
    || '(?:(?:as|see|same as|like|ref|per)\s+)?(?:sample\s+)?([A-Z]{1,4}[-/.]?[0-9]{1,6}[A-Z]?)\)?$',
    ['said', 'sample']
);

-- The unit that a line says amounts are in where they have none: `Qty in m2 unless stated`, `Amount is square metres`.
create macro unit_said(said) as regexp_extract(
    lower(said),
    '\b(?:qty|quantity|quantities|amounts?|extents?|areas?|sizes?|measured|measurements?)\b[^.;0-9]{0,20}?'
    || '\b(?:in|is|are) (m2|m²|sq\.? ?m(?:etres?)?|sqm|square metres|lin\.? ?m|lm|linear metres|m|metres)'
    || '(?:\W|$)',
    1
);

-- Whether another unit has this number in the house or block that a unit is in.
create macro is_home_beside(unit, other, number) as
split_part(other, ' of ', 1) = number
and regexp_extract(unit, ' of .*$') = regexp_extract(other, ' of .*$');
