-- One row per raw row of a table file: what kind of file it stands in, and how full it is.
-- Kept as a step.
select
    r.path,
    r.sheet,
    s.kind,
    r.row_number,
    r.cells,
    len(list_filter(r.cells, lambda cell: trim(cell) <> '')) as n_filled
from raw_rows as r
inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
