-- One row per reading that reports a fire, a flood or vandalism. What stands between a denial and the word of an event
-- is such that `no signs of fire damage` reports none, but `no access after fire` does; `flood damage: none` neither.
-- Kept as a step.
with said as (
    select
        entry_id,
        ' ' || replace(replace(lower(concat_ws('; ', notes, product_text, damage_text)), '-', ' '), '@', ' ') as words
    from readings
    where coalesce(notes, product_text, damage_text) is not null
),

met as (
    select
        s.entry_id,
        t.term as event,
        replace(s.words, t.written, '@') as words_around
    from said as s
    inner join reference.terms as t on t.field = 'event' and contains(s.words, ' ' || t.written)
)

select
    entry_id,
    min(event) as event
from met
where
    not regexp_matches(
        words_around,
        '\b(no|not|nil|never|without|free of|free from)\s+'
        || '((signs?|evidence|visible|apparent|obvious|recent|of|any|or|and|fire|flood|water|smoke|damage)\s+)*@'
        || '|@\s*[:,(/]?\s*(is\s+|was\s+)?'
        || '(none|nil|no\b|not\s+(seen|noted|evident|present|visible|reported|found|known))'
    )
group by entry_id
