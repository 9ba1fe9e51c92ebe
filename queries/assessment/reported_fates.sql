-- One row per reading that says what became of its material: removed, part removed, not found, and whether it
-- names evidence of a removal. Words and what speaks against them stand in reference/fate_words.csv.
-- Kept as a step.
with written as (
    select
        entry_id,
        lower(
            concat_ws(
                ' ; ', notes, product_text, damage_text, identification_text, recommendation, extent_text, removal_text
            )
        ) as words
    from readings
),

said as (
    select
        entry_id,
        trim(regexp_replace(words, '[^a-z0-9]+', ' ', 'g')) as words
    from written
    where
        regexp_matches(
            words,
            '\bremoved|removal |no longer|taken (out|down)|stripped out|\bgone\b|disposed of|replaced'
            || '|renewed|lifted|(taken|pulled) up|ripped out|demolished|dismantled'
            || '|(not|nowhere|unable|could|cannot|couldn.t) .*(find|found|locat|trac)|not seen'
        )
),

texts as (
    select distinct words
    from said
),

met as (
    select
        t.words,
        bool_or(w.fate = 'part_removed') as is_part,
        bool_or(w.fate in ('part_removed', 'removed')) and not bool_or(w.fate = 'not_removed') as is_removed,
        bool_or(w.fate = 'not_found') and not bool_or(w.fate = 'not_lost') as is_not_found,
        bool_or(w.fate = 'evidence') and not bool_or(w.fate = 'no_evidence') as has_evidence
    from texts as t
    inner join reference.fate_words as w on regexp_matches(t.words, w.pattern)
    group by t.words
)

select
    s.entry_id,
    case
        when m.is_removed and m.is_part then 'part_removed'
        when m.is_removed then 'removed'
        else 'not_found'
    end as fate,
    m.is_removed and m.has_evidence as has_evidence
from said as s
inner join met as m on s.words = m.words
where m.is_removed or m.is_not_found
