-- One row per raw row of a table file: what kind of file it stands in, its cells without blanks around them and with
-- codes by their meanings, and how many of them are filled.
-- Kept as a step.
with trimmed as (
    select
        r.path,
        r.sheet,
        s.kind,
        r.row_number,
        list_transform(coalesce(d.cells, r.cells), lambda cell: trim(cell)) as cells
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    left join decoded_rows as d on r.path = d.path and r.sheet = d.sheet and r.row_number = d.row_number
)

select
    *,
    len(list_filter(cells, lambda cell: cell <> '')) as n_filled
from trimmed
