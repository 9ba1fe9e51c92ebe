-- One row per raw row of a sheet with a table: which table it belongs to, what kind of line it is in it (`above` if it
-- is as wide as a table's and no heading above it is known), and its cells, with what a mark repeats or a next line
-- adds, where they belong, without blanks around them and without dashes and NULLs for nothing.
-- Kept as a step.
with tables as (
    select
        h.*,
        coalesce(h.sheet, '') as sheet_key,
        r.cells as heading_cells
    from heading_rows as h
    inner join row_shapes as r
        on h.path = r.path and h.sheet is not distinct from r.sheet and h.heading_row = r.row_number
),

sheets as (
    select
        path,
        sheet_key,
        case when count(*) = 1 then min(table_id) end as only_table,
        min(first_row) as first_row
    from tables
    group by path, sheet_key
),

-- Where a sheet has several tables, a row belongs to the nearest above.
placed as (
    select
        r.path,
        r.sheet_key,
        r.row_number,
        t.table_id
    from (
        select
            path,
            coalesce(sheet, '') as sheet_key,
            row_number
        from row_shapes
        where
            (path, coalesce(sheet, '')) in (
                select (s.path, s.sheet_key)
                from sheets as s
                where s.only_table is null
            )
    ) as r
    asof inner join tables as t on r.path = t.path and r.sheet_key = t.sheet_key and r.row_number >= t.first_row
),

told as (
    select
        coalesce(p.table_id, case when r.row_number >= s.first_row then s.only_table end) as table_id,
        r.kind,
        r.path,
        r.sheet,
        r.row_number,
        r.cells as written,
        list_transform(
            coalesce(m.cells, d.cells, r.cells),
            lambda cell: case when cell in ('-', '–', '—', '--', 'NULL') then '' else cell end
        ) as cells,
        coalesce(nullif(r.cells[1], ''), nullif(r.cells[2], ''), r.cells[3]) as first_said
    from row_shapes as r
    inner join sheets as s on r.path = s.path and coalesce(r.sheet, '') = s.sheet_key
    left join placed as p on r.path = p.path and coalesce(r.sheet, '') = p.sheet_key and r.row_number = p.row_number
    left join slipped_rows as d
        on r.path = d.path and r.sheet is not distinct from d.sheet and r.row_number = d.row_number
    left join mended_rows as m
        on r.path = m.path and r.sheet is not distinct from m.sheet and r.row_number = m.row_number
)

select
    p.table_id,
    p.kind,
    p.path,
    p.sheet,
    p.row_number,
    p.cells,
    case
        when
            h.table_id is null
            and p.kind in ('stock', 'registers', 'works')
            and len(list_filter(p.cells, lambda cell: cell <> '')) > 2
            then 'above'
        when p.kind = 'results layout' then 'layout'
        when h.table_id is null or p.row_number <= h.heading_row or p.written = h.heading_cells then 'layout'
        when t.line is not null then t.line
        when
            regexp_matches(
                p.first_said,
                '^\s*((grand|sub|page)?[\s-]*totals?\b|(site|block|page|sheet|property) (items|samples|acms?)\W)', 'i'
            )
            then 'totals'
        else 'item'
    end as line,
    coalesce(t.text, p.first_said) as first_said
from told as p
left join tables as h on p.table_id = h.table_id
left join thin_lines as t
    on p.path = t.path and p.sheet is not distinct from t.sheet and p.row_number = t.row_number
