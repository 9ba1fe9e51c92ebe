-- One row per field and word. Words that no table knows, with the known ones nearest to them, and descriptions of
-- jobs whose work is not known. What a room's column says of a thing alone (`Pipe boxing`) is known: no room is named.
select
    w.field,
    w.written as term,
    w.n_rows::integer as n_rows,
    w.nearest
from recognised_words as w
left join recognised_words as thing
    on w.field = 'place' and thing.field = 'element' and w.written = thing.written and thing.how = 'known'
where
    w.term is null
    and w.n_rows > 0
    and w.field not in ('debris', 'element', 'type_in_result', 'place_beside', 'result_in_product', 'material_band')
    and not regexp_matches(w.written, '^[0-9]')
    and thing.written is null
union all
select
    'work_type' as field,
    coalesce(description, work_type) as term,
    sum(n_rows)::integer as n_rows,
    []::varchar[] as nearest
from recognised_jobs
where len(work_types) = 0
group by coalesce(description, work_type)
