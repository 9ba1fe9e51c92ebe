-- The tables that were handed in, in the order of the files, and whether their columns were read. One row per file or
-- sheet that can hold a table.
select
    s.path,
    s.sheet,
    s.kind,
    s.is_hidden,
    s.rows_read,
    s.rows_used,
    s.rows_set_aside,
    s.rows_layout
from source_files as s
where s.kind in ('stock', 'registers', 'samples', 'works', 'parameters')
order by s.path, s.sheet nulls first
