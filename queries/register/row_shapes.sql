-- One row per raw row of a table file, or per line of one that is written across: what kind of file it stands in, its
-- cells without blanks around them and with codes by their meanings, and how many of them are filled.
-- Kept as a step.
with across as (
    select distinct
        path,
        coalesce(sheet, '') as sheet_key
    from spread_rows
),

written as (
    select
        r.path,
        r.sheet,
        r.row_number,
        coalesce(d.cells, r.cells) as cells
    from raw_rows as r
    left join decoded_rows as d on r.path = d.path and r.sheet = d.sheet and r.row_number = d.row_number
    where (r.path, coalesce(r.sheet, '')) not in (
        select (path, sheet_key)
        from across
    )
    union all
    select
        path,
        sheet,
        row_number,
        cells
    from spread_rows
),

trimmed as (
    select
        w.path,
        w.sheet,
        s.kind,
        w.row_number,
        list_transform(w.cells, lambda cell: trim(cell)) as cells
    from written as w
    inner join source_sheets as s on w.path = s.path and w.sheet is not distinct from s.sheet
)

select
    *,
    len(list_filter(cells, lambda cell: cell <> '')) as n_filled
from trimmed
