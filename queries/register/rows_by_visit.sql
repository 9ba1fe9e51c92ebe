-- One row per raw row of a register sheet with a heading. What it says of each visit, and which home it names.
-- Kept as a view of steps.
with said as (
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
                    -- `S/PRES K01` says what it is taken for, and by which sample
                    'as ' || nullif(struct_extract(presumed_as(cells[sample_ref_at]), 'sample'), ''),
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
            end,
            -- beside how damaged it is, also what is around it; a material may be named `boxed in pipes`
            case
                when coalesce(surface_at, surface_treatment_score_at) is null
                    then
                        nullif(
                            regexp_extract(cells[damage_at], '(?i)\b(boxed (in|over)|encased|enclosed|untreated)\b'), ''
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
    from rows_named
)

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
