-- One row per sheet of registers and unit that a line of one cell says amounts are in: `Amount is square metres unless
-- it says something else`.
-- Kept as a step.
select distinct
    path,
    coalesce(sheet, '') as sheet_key,
    unit_said(array_to_string(cells, ' ')) as unit
from row_shapes
where n_filled = 1 and kind = 'registers' and unit <> ''
