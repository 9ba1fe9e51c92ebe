-- The vocabulary, with what people added to it, which goes before. One row per field and word.
select
    field,
    term,
    written
from (
    select
        field,
        term,
        written,
        1 as nth
    from reference.terms
    union all
    select
        field,
        term,
        written,
        2 as nth
    from corrections_terms
    where reason_code is null
) as words
order by field, nth, written, term
