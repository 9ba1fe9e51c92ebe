-- One row per row of a register's sheets in which a line of a few cells may say what was found in samples, with the row
-- of the file: of those written across, their lines; codes by their meanings. Only of sheets as short as people keep by
-- hand, at whose foot results are written.
with short_sheets as (
    select
        path,
        coalesce(sheet, '') as sheet_key
    from raw_rows
    group by path, coalesce(sheet, '')
    having
        count(*) <= (
            select l.value
            from reference.limits as l
            where l.name = 'foot_sheet_rows_most'
        )
),

across as (
    select distinct
        path,
        coalesce(sheet, '') as sheet_key
    from spread_rows
),

written as (
    select
        r.path,
        coalesce(r.sheet, '') as sheet_key,
        r.sheet,
        r.row_number,
        r.row_number as source_row,
        r.cells
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    inner join short_sheets as k on r.path = k.path and coalesce(r.sheet, '') = k.sheet_key
    where
        s.kind = 'registers'
        and (r.path, coalesce(r.sheet, '')) not in (
            select (a.path, a.sheet_key)
            from across as a
        )
    union all
    select
        path,
        coalesce(sheet, '') as sheet_key,
        sheet,
        row_number,
        source_row,
        cells
    from spread_rows
),

speaking as (
    select distinct
        path,
        sheet_key
    from written
    where
        len(list_filter(cells, lambda cell: trim(cell) <> '')) <= 6
        and regexp_matches(
            array_to_string(cells, ' '),
            '(?i)\b(samples?|lab|laboratory|analys\w+|results?)\b'
            || '|^[^A-Za-z0-9]*[A-Za-z]{1,5}[-/. ]?[0-9]{1,6}[A-Za-z]?\b'
        )
)

select
    w.path,
    w.sheet,
    w.row_number,
    w.source_row,
    coalesce(d.cells, w.cells) as cells
from written as w
inner join speaking as t on w.path = t.path and w.sheet_key = t.sheet_key
left join decoded_rows as d
    on
        w.path = d.path
        and w.sheet is not distinct from d.sheet
        and w.row_number = d.row_number
        and (w.path, w.sheet_key) not in (
            select (a.path, a.sheet_key)
            from across as a
        )
order by w.path, w.sheet nulls first, w.row_number
