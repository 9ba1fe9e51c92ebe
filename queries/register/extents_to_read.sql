-- The extents that registers hold, as written. One row per text and text of the unit column.
select distinct
    extent,
    extent_unit
from register_lines
where line = 'item' and extent is not null
order by extent, extent_unit
