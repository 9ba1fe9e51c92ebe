-- The vocabulary. One row per field and word.
select
    field,
    term,
    written
from reference.terms
order by field, written
