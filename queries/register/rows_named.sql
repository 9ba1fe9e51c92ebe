-- One row per raw row of a register sheet with a heading. What it says under each of our names.
-- Kept as a view of steps.
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

-- What a line above a table says of its amounts, or one of a sheet of notes for all tables of its workbook: `Qty in m2
-- unless stated`, `Amount is square metres unless it says something else`.
units_above as (
    select
        table_id,
        min(unit) as unit
    from (
        select
            table_id,
            unit_said(value) as unit
        from said_above
        where field is null
        union
        select
            t.table_id,
            o.unit
        from units_told as o
        inner join heading_rows as t on o.path = t.path and t.kind = 'registers'
        where
            (o.path, o.sheet_key) not in (
                select (h.path, coalesce(h.sheet, ''))
                from heading_rows as h
            )
    ) as s
    where unit <> ''
    group by table_id
    having count(distinct regexp_matches(unit, '2|²|sq')) = 1
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
)

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
        || '|would(n.t| not) let (us|me|him|her|them) in|did(n.t| not) let (us|me|him|her|them) in'
        || '|(could not|couldn.t|did not|didn.t) get in'
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
        case
            when p.reinspected_at is distinct from p.surveyed_on_at
                then
                    coalesce(
                        day_in_year(r.cells[p.surveyed_on_at], p.year_of_days), nullif(r.cells[p.surveyed_on_at], '')
                    )
        end,
        r.day_behind,
        nullif(r.cells[p.sent_on_at], ''),
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
from rows_untangled as r
left join table_columns as p on r.table_id = p.table_id
cross join laboratories as y
cross join presumptions as u
left join lettered on r.table_id = lettered.table_id
left join units_above as v on r.table_id = v.table_id
left join blocks as b on r.path = b.path and coalesce(r.sheet, '') = b.sheet_key and r.row_number = b.row_number
left join led
    on r.path = led.path and r.sheet is not distinct from led.sheet and r.row_number = led.row_number
