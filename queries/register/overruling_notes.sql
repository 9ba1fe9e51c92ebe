-- One row per distinct note of a register that says a cell of its row is wrong: what it says instead, of how much there
-- is, what it is, its condition and its surface.
-- Kept as a step.
with notes_met as (
    select distinct notes
    from register_rows
    where
        line = 'item'
        and regexp_matches(
            notes, '(?i)\bnot\b|n.?t\b|\b(now|since|no longer|should|(make|call|score|mark) (it|this))\b'
        )
),

said as (
    select
        notes,
        -- `6 m2, not 3`
        regexp_extract(
            notes,
            '(?i)\b([0-9][0-9.]*)\s*(m[2²]|sq\.? ?m|sqm|lin\.? ?m|lm|m|no\.?|nr)?\s*,?\s*(?:and )?not\s+(?:the )?'
            || '([0-9]+(?:\.[0-9]+)?)\s*(m[2²]|sq\.? ?m|sqm|lin\.? ?m|lm|m|no\.?|nr)?(?:[\s.,;)]|$)',
            ['extent', 'unit', 'extent_not', 'unit_not']
        ) as amounts,
        -- `it isn't, it's asbestos cement`
        trim(
            regexp_extract(
                notes,
                '(?i)\b(?:isn.?t|is not|not)\b[^.;]{0,40}?\b(?:but(?: is)?|it.?s|it is|this is|is actually|actually)\s+'
                || '(?:an? |really |actually )*([a-z][a-z /&]{2,40}?)\s*(?:\s[-–]|[,.;(]|$)', 1
            )
        ) as product_said,
        -- `make it a 3`
        coalesce(
            nullif(regexp_extract(notes, '(?i)\b(?:make|call|score|mark) (?:it|this) (?:an? |as )?([0-3])\b', 1), ''),
            nullif(regexp_extract(notes, '(?i)\bshould (?:now )?be an? ([0-3])\b', 1), '')
        ) as damage_score,
        -- `painted since last visit`, `now sealed`
        lower(
            coalesce(
                nullif(
                    regexp_extract(
                        notes, '(?i)\b(now unsealed|unsealed now|no longer (?:sealed|painted|encapsulated))\b', 1
                    ), ''
                ),
                nullif(
                    regexp_extract(
                        notes, '(?i)(?:^|[^t] )(sealed|painted|encapsulated)\b[^.,;]{0,20} since\b', 1
                    ), ''
                ),
                nullif(regexp_extract(notes, '(?i)\bnow (?:been )?(sealed|painted|encapsulated)\b', 1), ''),
                nullif(regexp_extract(notes, '(?i)\bis (sealed|painted|encapsulated) now\b', 1), '')
            )
        ) as surface_said
    from notes_met
),

materials as (
    select
        lower(written) as written,
        bool_and(term not in ('none', 'not_asbestos')) as is_suspect
    from reference.terms
    where field = 'product'
    group by lower(written)
)

select
    s.notes,
    case when s.amounts.unit <> '' or s.amounts.unit_not <> '' then try_cast(s.amounts.extent as double) end as extent,
    case when extent is not null then coalesce(nullif(s.amounts.unit, ''), s.amounts.unit_not) end as extent_unit,
    case when extent is not null then try_cast(s.amounts.extent_not as double) end as extent_not,
    case when m.written is not null then s.product_said end as product,
    coalesce(m.is_suspect, false) as is_suspect,
    s.damage_score,
    if(regexp_matches(s.surface_said, '^no longer|unsealed'), 'unsealed', s.surface_said) as surface
from said as s
left join materials as m on lower(s.product_said) = m.written
where coalesce(extent::varchar, product, s.damage_score, s.surface_said) is not null
