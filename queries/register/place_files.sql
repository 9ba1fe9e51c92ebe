-- The files that hold areas and could be opened. One row per file.
select path
from source_sheets
where
    kind = 'places'
    and path not in (
        select path
        from refused_files
    )
order by path
