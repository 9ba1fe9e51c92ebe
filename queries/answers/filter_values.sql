-- What the portfolio can be filtered by. One row per filter and value.
select
    'area' as filter,
    area as value,
    area as in_words,
    0 as place
from (
    select distinct area
    from buildings
) as areas_met
union all
select
    'dwelling_type' as filter,
    dwelling_type as value,
    dwelling_type as in_words,
    0 as place
from (
    select distinct dwelling_type
    from properties
) as types_met
union all
select
    'era' as filter,
    era as value,
    era as in_words,
    from_year as place
from reference.eras
union all
select
    'era' as filter,
    'year unknown' as value,
    'year unknown' as in_words,
    9999 as place
union all
select
    'product' as filter,
    product as value,
    in_words,
    0 as place
from reference.products
union all
select
    'work_type' as filter,
    work_type as value,
    in_words,
    0 as place
from reference.work_types
union all
select
    'known' as filter,
    unnest(['recorded', 'possible']) as value,
    value as in_words,
    0 as place
order by filter, place, in_words
