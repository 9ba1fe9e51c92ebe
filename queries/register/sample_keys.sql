-- One row per text and sample that it names. References of samples boiled down, so that equal ones are equal (`S-001`,
-- `S 1`, `s1`), and those that stand for several taken apart (`S001-S003`, `S1, S2`, `S001/S002`). Some are letters.
-- Kept as a step.
with written as (
    select coalesce(sample_of_job, sample) as written
    from register_samples
    union
    select sample_ref as written
    from sample_lines
    where line = 'item'
    union
    select lab_ref as written
    from sample_lines
    where line = 'item'
),

bare as (
    select
        written,
        regexp_replace(
            regexp_replace(
                trim(upper(written)), '^(BULK )?(SAMPLES?|SPL|SMP)\b[ .:#]*((NO|NR|REF|NUMBER)\b[ .:#]*)?', ''
            ), '\s*\([^()]*\)$|\s+(AT|FROM|IN|ON)\s.*$|[\s,;]+(BELOW|ABOVE|OVERLEAF)\W*$', ''
        ) as text
    from written
    where
        length(written) <= 200
        and (
            regexp_matches(written, '[0-9]')
            or regexp_matches(
                trim(written), '^([A-Za-z]+ )*[A-Za-z]{1,2}(\s*([,&+-]|and|to)\s*[A-Z]{1,2})*$'
            )
        )
),

pieces as (
    select
        written,
        unnest(
            case
                when regexp_matches(text, '^[A-Z]+[-. ]?[0-9]+[A-Z]?( */ *[A-Z]+[-. ]?[0-9]+[A-Z]?)+$')
                    then regexp_split_to_array(text, ' */ *')
                -- with what each is of: `S2 tile / S3 adh.`
                when
                    regexp_matches(
                        text,
                        '^([A-Z]{1,3}[-.]?[0-9]+[A-Z]?( [A-Z]{3,}\.?)? *[/,;&+] *)+'
                        || '[A-Z]{1,3}[-.]?[0-9]+[A-Z]?( [A-Z]{3,}\.?)?$'
                    )
                    then regexp_extract_all(text, '\b[A-Z]{1,3}[-.]?[0-9]+[A-Z]?\b')
                else regexp_split_to_array(text, '\s*(?:[,;&+\n]|\bAND\b)\s*')
            end
        ) as piece
    from bare
),

parted as (
    select
        written,
        piece,
        regexp_extract(
            piece,
            '^([A-Z][A-Z/ .-]*?)[-/ .]*([0-9]{1,6})\s*(?:-|–|—|\bTO\b)\s*((?:[A-Z][A-Z/ .-]*?)?)[-/ .]*([0-9]{1,6})$',
            ['prefix', 'from', 'prefix_again', 'to']
        ) as said
    from pieces
),

ranges as (
    select
        p.*,
        try_cast(p.said['from'] as integer) as from_number,
        try_cast(p.said['to'] as integer) as to_number,
        coalesce(
            to_number - from_number between 1 and l.value - 1
            and (
                p.said['prefix'] = p.said['prefix_again']
                or (p.said['prefix_again'] = '' and length(p.said['from']) = length(p.said['to']))
            ), false
        ) as is_range
    from parted as p
    cross join reference.limits as l
    where l.name = 'sample_range_most'
),

samples_named as (
    select
        written,
        piece as text
    from ranges
    where not is_range
    union
    select
        written,
        said['prefix'] || unnest(range(from_number, to_number + 1)) as text
    from ranges
    where is_range
    union
    select
        written,
        unnest(
            list_transform(
                range(ascii(regexp_extract(piece, '^[A-Z]')), ascii(regexp_extract(piece, '[A-Z]$')) + 1),
                lambda letter: chr(letter::integer)
            )
        ) as text
    from ranges
    where regexp_matches(piece, '^[A-Z]\s*(-|–|—|TO)\s*[A-Z]$')
),

marked as (
    select
        written,
        regexp_replace(text, '\s+', '', 'g') as same,
        trim(regexp_replace(regexp_replace(text, '[^A-Z0-9]+', '-', 'g'), '-*([A-Z]+)-*', '\1', 'g'), '-') as marks
    from samples_named
    where regexp_matches(text, '[0-9]') or regexp_matches(text, '^[A-Z]{1,2}$')
)

select distinct
    written,
    same,
    regexp_replace(marks, '(^|[A-Z-])0+([0-9])', '\1\2', 'g') as key,
    nullif(regexp_extract(key, '^[A-Z]*([0-9]+[A-Z]?)$', 1), '') as number
from marked
