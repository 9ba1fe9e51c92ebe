-- One row per row of a register in which a mark repeats the cell above, or on which such marks rest: the nearest rows
-- above that say something in a marked column, and the first of each width.
with marked as (
    select distinct
        path,
        sheet
    from row_shapes
    where
        kind = 'registers'
        -- few rows have any of it, and to look at once for all cells is cheap
        and regexp_matches(
            array_to_string(cells, ' '), '(?i)["“”〃″]|''''|,,|\bdo\b|ditto|as above|of (the )?same'
        )
        and len(list_filter(
            cells,
            lambda cell: cell in (
                '"', '''''', '“', '”', '〃', '″', ',,', '-"-', 'ditto', 'Ditto', 'DITTO', 'do', 'Do', 'DO', 'do.', 'Do.',
                '-do-', '-Do-', '-DO-', '- do -', '- DO -', 'as above', 'As above', 'As Above', 'AS ABOVE'
            )
            -- part of the cell above: `33 -do-`, `bits of same`
            or regexp_matches(cell, '(?i)^[a-z. ]{0,14}[0-9]{1,4} ?[a-z]?[ ,]+(do\.?|ditto|-do-)\s*$')
            or cell like '% of same%'
            or cell like '% of the same%'
        )) > 0
),

rows_of_marked as (
    select
        r.path,
        r.sheet,
        coalesce(r.sheet, '') as sheet_key,
        r.row_number,
        r.cells
    from row_shapes as r
    inner join marked as m on r.path = m.path and r.sheet is not distinct from m.sheet
),

marks as (
    select
        path,
        sheet_key,
        row_number,
        unnest(list_filter(
            range(1, len(cells) + 1),
            lambda position: regexp_full_match(
                cells[position],
                '\s*("|''''|“|”|〃|″|,,|-"-|ditto|do\.?|-do-|- do -|as above)\s*'
                -- part of the cell above: `6A do.`, `bits of same`
                || '|\s*[A-Za-z. ]{0,14}[0-9]{1,4} ?[A-Za-z]?[ ,]+(do\.?|ditto|-do-)\s*|.*\bof (the )?same\b.*',
                'i'
            )
        )) as position
    from rows_of_marked
),

columns_marked as (
    select distinct
        path,
        sheet_key,
        position
    from marks
),

said as (
    select
        r.path,
        r.sheet_key,
        r.row_number,
        m.position
    from rows_of_marked as r
    inner join columns_marked as m on r.path = m.path and r.sheet_key = m.sheet_key
    where regexp_matches(r.cells[m.position], '\S')
),

needed as (
    select
        path,
        sheet_key,
        row_number
    from marks
    union
    select
        m.path,
        m.sheet_key,
        s.row_number
    from marks as m
    asof inner join said as s
        on m.path = s.path and m.sheet_key = s.sheet_key and m.position = s.position and m.row_number > s.row_number
    union
    select
        path,
        sheet_key,
        min(row_number) as row_number
    from rows_of_marked
    group by path, sheet_key, len(cells)
)

select
    r.path,
    r.sheet,
    r.row_number,
    r.cells
from rows_of_marked as r
inner join needed as n on r.path = n.path and r.sheet_key = n.sheet_key and r.row_number = n.row_number
order by r.path, r.sheet nulls first, r.row_number
