-- What a word of a field can mean. One row per term.
-- $field: which field
select distinct term
from reference.terms
where field = $field
order by term
