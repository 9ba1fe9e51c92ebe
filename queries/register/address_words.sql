-- The words of addresses. One row per way of writing a word.
select
    kind,
    word,
    written
from reference.address_words
order by written
