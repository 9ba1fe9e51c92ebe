-- One row per field and word. Words that no table knows, with the known ones nearest to them, and descriptions of
-- jobs whose work is not known. What a room's column says of a thing alone (`Pipe boxing`) is known: no room is named;
-- so is what a result says of the type found, and a material's column of what could not be seen or is not suspect.
with read_elsewhere as (
    select
        if(field = 'type_in_result', 'identification', 'product') as field,
        written
    from recognised_words
    where
        (field = 'type_in_result' and term not in ('none', 'unknown'))
        or (field = 'result_in_product' and term in ('no_access', 'not_suspect'))
)

select
    w.field,
    w.written as term,
    w.n_rows::integer as n_rows,
    w.nearest
from recognised_words as w
left join recognised_words as thing
    on w.field = 'place' and thing.field = 'element' and w.written = thing.written and thing.how = 'known'
left join read_elsewhere as elsewhere on w.field = elsewhere.field and w.written = elsewhere.written
where
    w.term is null
    and w.n_rows > 0
    and w.field not in ('debris', 'element', 'type_in_result', 'place_beside', 'result_in_product', 'material_band')
    and not regexp_matches(w.written, '^[0-9]')
    and thing.written is null
    and elsewhere.written is null
union all
select
    'work_type' as field,
    coalesce(description, work_type) as term,
    sum(n_rows)::integer as n_rows,
    []::varchar[] as nearest
from recognised_jobs
where len(work_types) = 0
group by coalesce(description, work_type)
