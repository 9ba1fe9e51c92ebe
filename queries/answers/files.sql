-- What was handed in and what became of it, in the order of the files. One row per file or sheet.
select
    path,
    sheet,
    kind,
    is_hidden,
    sha256,
    rows_read,
    rows_used,
    rows_set_aside,
    rows_layout
from source_files
order by path, sheet nulls first
