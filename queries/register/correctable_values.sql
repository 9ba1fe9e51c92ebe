-- What a corrected field of a register row may hold, but for extents, which are numbers. One row per field and value.
with scores as (
    select unnest(range(4)) as score
)

select
    'product' as field,
    product as value,
    in_words
from reference.products
union all
select
    'place' as field,
    place as value,
    in_words
from reference.places
union all
select distinct
    field,
    term as value,
    replace(term, '_', ' ') as in_words
from reference.terms
where field = 'extent_unit' or (field = 'identification' and term not in ('yes', 'no', 'unclear'))
union all
select
    'asbestos_types' as field,
    asbestos_type as value,
    asbestos_type as in_words
from reference.asbestos_types
union all
select
    'asbestos_types' as field,
    'unknown' as value,
    'unknown' as in_words
union all
select
    f.field,
    n.score::varchar as value,
    n.score::varchar as in_words
from reference.correctable_fields as f
cross join scores as n
where n.score between f.at_least and f.at_most
