-- What a corrected field may hold; an extent is a number and has none. One row per value.
-- $field: which field
select
    value,
    in_words
from correctable_values
where field = $field
order by in_words, value
