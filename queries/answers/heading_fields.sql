-- What a column of a kind of file can hold. One row per field.
-- $kind: registers, stock or works
select distinct field
from reference.headings
where kind = $kind and field <> 'none'
order by field
