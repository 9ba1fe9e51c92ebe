-- The files that hold areas. One row per file.
select path
from source_sheets
where kind = 'places'
order by path
