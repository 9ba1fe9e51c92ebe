-- Words that no table knows, most used first. One row per field and word.
-- $top: how many
select
    field,
    term,
    n_rows,
    array_to_string(nearest, ', ') as nearest
from unknown_terms
order by n_rows desc, field, term
limit $top
