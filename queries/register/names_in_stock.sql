-- Which names of blocks or streets the stock list has. One row per name.
-- $names: the names
select n.name
from (select unnest($names::varchar[]) as name) as n
where
    exists (
        select 1
        from raw_rows as r
        inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
        where s.kind = 'stock' and contains(lower(array_to_string(r.cells, '|')), lower(n.name))
    )
order by n.name
