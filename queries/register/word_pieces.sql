-- One row per piece of a cell that names several rooms or layers: which of how many it is.
-- Kept as a view of steps.
select
    field,
    written,
    piece,
    row_number() over (partition by field, written order by nth) as nth,
    count(*) over (partition by field, written) as n_pieces
from word_parts
