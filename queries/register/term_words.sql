-- Short words of rooms and materials and what they stand for. One row per word.
select
    written,
    word
from reference.term_words
order by written
