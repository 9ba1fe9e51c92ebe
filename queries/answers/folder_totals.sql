-- What was handed in and what became of it: rows read are rows used and rows set aside. One row per folder, and one for
-- all (`kind` null).
select
    s.kind,
    max(f.used_as) as used_as,
    count(distinct s.path) as n_files,
    sum(s.rows_read)::integer as rows_read,
    sum(s.rows_used)::integer as rows_used,
    sum(s.rows_set_aside)::integer as rows_set_aside,
    sum(s.rows_layout)::integer as rows_layout
from source_files as s
inner join reference.folders as f on s.kind = f.kind
group by rollup (s.kind)
order by s.kind is null, max(f.nth)
