-- One row per sheet of registers of which a line says that a sample with a star was not taken there: `* not sampled
-- again, same as that sample`.
-- Kept as a step.
select distinct
    path,
    coalesce(sheet, '') as sheet_key
from row_shapes
where
    kind = 'registers'
    and n_filled <= 3
    -- few rows of a table have so few cells, and to look is cheap
    and regexp_matches(
        array_to_string(cells, ' '),
        '(?i)(\*|\basterisk|\bstarred|\bstar\b)[^.;]*'
        || '\b(not (re-?)?sampled|same as|as (that|the) sample|cross[- ]?ref\w*|refers? to)\b'
    )
