-- One row per raw row of corrections and parameters, and per heading row of property, job and sample lists: all that is
-- read of `table_rows` once the rows of the long lists are taken apart.
-- Kept as a step.
select *
from table_rows
where
    kind in ('corrections', 'parameters')
    or (kind <> 'registers' and line = 'layout')
