-- One row per reason why rows, sheets or files were set aside, most rows first, and whether there is anything to mend;
-- `n_whole` counts files and sheets that were as a whole, whose rows are counted as far as they could be read.
select
    s.reason_code,
    sum(s.n_rows)::integer as n_rows,
    (count(*) filter (where s.row_number is null))::integer as n_whole,
    r.in_short,
    r.to_mend
from set_aside_rows as s
inner join reference.set_aside_reasons as r on s.reason_code = r.reason_code
group by s.reason_code, r.in_short, r.to_mend
order by n_rows desc, s.reason_code
