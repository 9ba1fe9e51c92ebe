-- One row per reading of a suspect material. The four parts of the material assessment (HSG264), each with the least
-- and most that it can be and with where it comes from: the register's own digit, its words, the product, an
-- assumption, or nowhere. What has not changed has the damage that an earlier row words or scores.
-- Kept as a step.
with type_scores as (
    select
        r.entry_id,
        max(t.score)::integer as score
    from (
        select
            entry_id,
            unnest(asbestos_types) as asbestos_type
        from readings
    ) as r
    inner join reference.asbestos_types as t on r.asbestos_type = t.asbestos_type
    group by r.entry_id
),

-- The least that words can mean which leave several terms open.
leasts as (
    select
        r.entry_id,
        min(p.product_type_score)::integer as product_type,
        min(d.low)::integer as damage,
        min(s.score)::integer as surface,
        min(t.score)::integer as asbestos_type
    from (
        select
            entry_id,
            product,
            unnest(product_alternatives) as product_term,
            unnest(damage_alternatives) as damage,
            unnest(surface_alternatives) as surface,
            unnest(type_alternatives) as asbestos_type
        from readings
        where is_suspect
    ) as r
    left join reference.products as p on r.product_term = p.product
    left join reference.damage_scores as d on r.damage = d.damage
    left join reference.surface_scores as s on r.product = s.product and r.surface = s.surface
    left join reference.asbestos_types as t on r.asbestos_type = t.asbestos_type
    group by r.entry_id
),

resolved as (
    select
        r.entry_id,
        r.product,
        p.product_type_score::integer as product_type_of_product,
        case when r.product_type_digit between 1 and 3 then r.product_type_digit end as product_type_own,
        coalesce(r.product_type_digit_low, product_type_own, least.product_type) as product_type_least,
        case when r.damage_digit between 0 and 3 then r.damage_digit end as damage_own,
        coalesce(d.score::integer, u.damage.score) as damage_of_word,
        coalesce(least.damage, d.low::integer, u.damage.low) as damage_low_of_word,
        coalesce(d.high::integer, u.damage.high) as damage_high_of_word,
        r.is_debris,
        coalesce(r.damage_digit_low, damage_own) as damage_own_low,
        case when r.surface_digit between 0 and 3 then r.surface_digit end as surface_own,
        coalesce(r.surface_digit_low, surface_own, least.surface) as surface_said_least,
        coalesce(range.surface_low, 0) as surface_least,
        coalesce(range.surface_high, 3) as surface_most,
        case
            when r.surface_term is not null and surface_least = surface_most then surface_least
            else s.score::integer
        end as surface_of_word,
        case when r.asbestos_type_digit between 1 and 3 then r.asbestos_type_digit end as type_own,
        coalesce(r.asbestos_type_digit_low, type_own, least.asbestos_type) as type_least,
        t.score as type_of_words,
        t.score is null and r.identification <> 'identified' as is_type_presumed
    from readings as r
    inner join reference.products as p on r.product = p.product
    left join reference.damage_scores as d on r.damage_term = d.damage
    left join reference.surface_scores as s on r.product = s.product and r.surface_term = s.surface
    left join surface_ranges as range on r.product = range.product
    left join type_scores as t on r.entry_id = t.entry_id
    left join leasts as least on r.entry_id = least.entry_id
    left join unchanged_damage as u on r.entry_id = u.entry_id
    where r.is_suspect
),

scored as (
    select
        *,
        coalesce(product_type_own, product_type_of_product) as product_type_score,
        coalesce(damage_own, case when is_debris then 3 else damage_of_word end) as damage_score,
        coalesce(
            surface_own, surface_of_word, case when surface_least = surface_most then surface_least end
        ) as surface_treatment_score,
        coalesce(type_own, type_of_words, case when is_type_presumed then 3 end) as asbestos_type_score
    from resolved
)

select
    entry_id,
    product_type_score,
    greatest(coalesce(product_type_least, product_type_score, 1), 1) as product_type_low,
    coalesce(product_type_score, 3) as product_type_high,
    case
        when product_type_own is not null then 'register'
        when product_type_score is not null then 'product'
        else 'missing'
    end as product_type_from,
    product_type_of_product not between product_type_least and product_type_own as is_product_type_odd,
    damage_score,
    case
        when is_debris then coalesce(damage_own_low, 3)
        else coalesce(damage_own_low, damage_low_of_word, 0)
    end as damage_low,
    case
        when is_debris then 3
        else coalesce(damage_own, damage_high_of_word, 3)
    end as damage_high,
    case
        when damage_own is not null then 'register'
        when is_debris then 'debris'
        when damage_score is not null then 'word'
        else 'missing'
    end as damage_from,
    case
        when is_debris then damage_own < 3
        else damage_own < damage_low_of_word or damage_own_low > damage_high_of_word
    end as is_damage_odd,
    surface_treatment_score,
    coalesce(surface_said_least, surface_treatment_score, surface_least) as surface_treatment_low,
    coalesce(surface_treatment_score, surface_most) as surface_treatment_high,
    case
        when surface_own is not null then 'register'
        when surface_of_word is not null then 'word'
        when surface_treatment_score is not null then 'product'
        else 'missing'
    end as surface_treatment_from,
    case product
        when 'textured_coating' then surface_own > 1
        else surface_own not between surface_least and surface_most
    end as is_surface_odd,
    asbestos_type_score,
    case
        when is_type_presumed then 1
        else greatest(coalesce(type_least, asbestos_type_score, 1), 1)
    end as asbestos_type_low,
    case when is_type_presumed then 3 else coalesce(asbestos_type_score, 3) end as asbestos_type_high,
    case
        when is_type_presumed then 'assumed'
        when type_own is not null then 'register'
        when asbestos_type_score is not null then 'word'
        else 'missing'
    end as asbestos_type_from,
    type_own <> type_of_words as is_type_odd
from scored
