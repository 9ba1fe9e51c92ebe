-- What was handed in and what became of it, whole files. One row per file.
select
    path,
    kind,
    nullif(count(sheet), 0)::integer as n_sheets,
    sum(rows_read)::integer as rows_read,
    sum(rows_used)::integer as rows_used,
    sum(rows_set_aside)::integer as rows_set_aside,
    sum(rows_layout)::integer as rows_layout,
    min(sha256) as sha256
from source_files
group by path, kind
order by path
