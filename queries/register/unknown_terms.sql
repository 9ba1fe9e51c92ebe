-- Words that no table knows, with the known ones nearest to them. One row per field and word.
select
    field,
    written as term,
    n_rows::integer as n_rows,
    nearest
from recognised_words
where
    term is null
    and n_rows > 0
    and field not in ('debris', 'element', 'type_in_result')
    and not regexp_matches(written, '^[0-9]')
