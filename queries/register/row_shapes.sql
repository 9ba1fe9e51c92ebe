-- One row per raw row of a table file, or per line of one that is written across: what kind of file it stands in, its
-- cells without blanks around them, with codes by their meanings and what they refer to, and how many are filled. A
-- line that says in words what columns there are stands as their heading. Rows of results among those of a register
-- are of a kind of their own.
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
        coalesce(t.cells, l.cells, d.cells, r.cells) as cells
    from raw_rows as r
    left join decoded_rows as d
        on r.path = d.path and r.sheet is not distinct from d.sheet and r.row_number = d.row_number
    left join looked_up_rows as l on r.path = l.path and r.sheet = l.sheet and r.row_number = l.row_number
    left join told_headings as t
        on r.path = t.path and r.sheet is not distinct from t.sheet and r.row_number = t.row_number
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
        coalesce(f.kind, if(e.path is null, s.kind, 'samples')) as kind,
        w.row_number,
        list_transform(w.cells, lambda cell: trim(cell)) as cells
    from written as w
    inner join source_sheets as s on w.path = s.path and w.sheet is not distinct from s.sheet
    left join sample_sheets as e on w.path = e.path and w.sheet = e.sheet
    left join foot_rows as f
        on w.path = f.path and w.sheet is not distinct from f.sheet and w.row_number = f.row_number
)

select
    *,
    len(list_filter(cells, lambda cell: cell <> '')) as n_filled
from trimmed
