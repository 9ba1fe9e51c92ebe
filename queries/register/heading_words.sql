-- Short words of headings and what they stand for. One row per word.
select
    written,
    word
from reference.heading_words
order by written
