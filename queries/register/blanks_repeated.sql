-- One row per sheet of registers that says that what is left blank is as above, `blank = same as line above`. Whether
-- that holds for the day of the visit from home to home, too: if it names days or visits, or no columns at all.
-- Kept as a step.
select
    path,
    sheet_key,
    bool_or(
        regexp_matches(said, '\b(dates?|days?|visit(s|ed)?|survey(s|ed|ors?)?|insp(ect(ed|ion|or))?)\b')
        or not regexp_matches(
            said, '\b(ref(erence)?s?|address(es)?|house|home|propert(y|ies)|prop|flat|block|uprn|rooms?)\b'
        )
    ) as repeats_visit
from (
    select
        path,
        coalesce(sheet, '') as sheet_key,
        regexp_extract(
            lower(array_to_string(cells, ' ')),
            '\b(blanks?|gaps?|empty|left out|not filled in|nothing (written|entered|shown))\b[^.;]*'
            || '(\b(same as|as|repeats?|means?|like|follows?)\b|=)[^.;]*\b(above|before|previous)\b'
            -- `no date on a line = same as the line above`, `home and date not typed again where they stay the same`
            || '|\bno\b[^.;=]*\b(on|in) an?y? (line|row)\b[^.;=]*(=|means?|is)[^.;]*\b(above|before|previous)\b'
            || '|[^.;]*\bnot (typed|written|entered|filled in|put|given|repeated)( in| out| down)?( again| twice)?\b'
            || '[^.;]*\b(above|before|(stay|remain|are|is|as|the)s? (the )?same|unchanged)\b'
        ) as said
    from row_shapes
    where
        kind = 'registers'
        and n_filled <= 3
        -- few rows of a table have so few cells, and to look is cheap
        and regexp_matches(lower(array_to_string(cells, ' ')), '\b(above|before|previous|same|unchanged)\b')
) as s
where said <> ''
group by path, sheet_key
