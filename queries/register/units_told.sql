-- One row per sheet of registers and unit that a line of one cell says amounts are in: `Amount is square metres unless
-- it says something else`.
-- Kept as a step.
select distinct
    path,
    coalesce(sheet, '') as sheet_key,
    -- few rows of a table have so few cells, and to look is cheap
    case when kind = 'registers' and n_filled = 1 then unit_said(array_to_string(cells, ' ')) end as unit
from row_shapes
where unit <> ''
