-- The words whose terms are looked for. One row per field and word as written.
select *
from written_words
order by field, written
