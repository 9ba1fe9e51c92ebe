-- Words that no table knows, most used first; `n_words` says how many there are. One row per field and word.
-- $top: how many, or null for all
select
    field,
    term,
    n_rows,
    array_to_string(nearest, ', ') as nearest,
    count(*) over () as n_words
from unknown_terms
order by n_rows desc, field, term
limit $top
