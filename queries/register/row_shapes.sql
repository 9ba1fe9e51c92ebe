-- One row per raw row of a table file: where it stands among the rows of its sheet, and how full it is.
-- Kept as a step.
select
    r.path,
    r.sheet,
    s.kind,
    r.row_number,
    r.cells,
    row_number() over rows_of_sheet as nth,
    coalesce(r.row_number - lag(r.row_number) over rows_of_sheet, 1) as gap,
    len(list_filter(r.cells, lambda cell: trim(cell) <> '')) as n_filled
from raw_rows as r
inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
window rows_of_sheet as (partition by r.path, r.sheet order by r.row_number)
