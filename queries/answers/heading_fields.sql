-- What a column of a kind of file can hold. One row per field.
-- $kind: of files, as registers, stock, works or samples
select distinct field
from reference.headings
where kind = $kind and field <> 'none'
order by field
