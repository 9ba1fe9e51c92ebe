-- What can be corrected in a register row. One row per field.
select
    field,
    in_words
from reference.correctable_fields
order by in_words, field
