-- One row per raw row of a sheet with a table: which table it belongs to, what kind of line it is in it, and its cells,
-- with what a mark repeats or a next line adds, without blanks around them and without dashes and NULLs for nothing.
-- Kept as a step.
with sheets as (
    select distinct
        path,
        sheet
    from heading_rows
),

tables as (
    select
        h.*,
        coalesce(h.sheet, '') as sheet_key,
        r.cells as heading_cells
    from heading_rows as h
    inner join row_shapes as r
        on h.path = r.path and h.sheet is not distinct from r.sheet and h.heading_row = r.row_number
),

placed as (
    select
        r.kind,
        r.path,
        r.sheet,
        r.row_number,
        r.cells as written,
        list_transform(
            coalesce(m.cells, r.cells),
            lambda cell: case when trim(cell) in ('-', '–', '—', '--', 'NULL') then '' else trim(cell) end
        ) as cells,
        coalesce(r.sheet, '') as sheet_key,
        coalesce(nullif(trim(r.cells[1]), ''), nullif(trim(r.cells[2]), ''), r.cells[3]) as first_said
    from row_shapes as r
    inner join sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    left join mended_rows as m
        on r.path = m.path and r.sheet is not distinct from m.sheet and r.row_number = m.row_number
)

select
    h.table_id,
    p.kind,
    p.path,
    p.sheet,
    p.row_number,
    p.cells,
    case
        when h.table_id is null or p.row_number <= h.heading_row or p.written = h.heading_cells then 'layout'
        when t.line is not null then t.line
        when regexp_matches(p.first_said, '^\s*(grand|sub|page)?[\s-]*totals?\b', 'i') then 'totals'
        else 'item'
    end as line,
    coalesce(t.text, p.first_said) as first_said
from placed as p
asof left join tables as h on p.path = h.path and p.sheet_key = h.sheet_key and p.row_number >= h.first_row
left join thin_lines as t
    on p.path = t.path and p.sheet is not distinct from t.sheet and p.row_number = t.row_number
