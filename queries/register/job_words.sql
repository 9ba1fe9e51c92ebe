-- The words of job descriptions. One row per word or phrase, kind and term.
select
    written,
    kind,
    coalesce(term, '') as term
from reference.job_words
order by written, kind, term
