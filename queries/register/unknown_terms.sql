-- One row per field and word. Words that no table knows, with the known ones nearest to them, and descriptions of
-- jobs whose work is not known.
select
    field,
    written as term,
    n_rows::integer as n_rows,
    nearest
from recognised_words
where
    term is null
    and n_rows > 0
    and field not in ('debris', 'element', 'type_in_result', 'place_beside', 'result_in_product', 'material_band')
    and not regexp_matches(written, '^[0-9]')
union all
select
    'work_type' as field,
    coalesce(description, work_type) as term,
    sum(n_rows)::integer as n_rows,
    []::varchar[] as nearest
from recognised_jobs
where len(work_types) = 0
group by coalesce(description, work_type)
