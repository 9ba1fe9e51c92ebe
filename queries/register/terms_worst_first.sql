-- The terms that score by themselves, the worst of each field first. One row per field and term.
select
    field,
    term
from (
    select
        'product' as field,
        product as term,
        product_type_score as score,
        0 as likely
    from reference.products
    where product_type_score is not null
    union all
    select
        'asbestos_type' as field,
        asbestos_type as term,
        score,
        0 as likely
    from reference.asbestos_types
    union all
    select
        'damage' as field,
        damage as term,
        high as score,
        score as likely
    from reference.damage_scores
    union all
    select distinct
        'accessibility' as field,
        term,
        try_cast(term as integer) as score,
        0 as likely
    from reference.terms
    where field = 'accessibility'
    union all
    select
        'surface' as field,
        surface as term,
        max(score) as score,
        sum(score) as likely
    from reference.surface_scores
    group by surface
) as scored
order by field, score desc, likely desc, term
