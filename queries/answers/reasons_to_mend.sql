-- Why rows, sheets or files were set aside, most first. One row per reason.
select
    s.reason_code,
    count(*) as n_rows,
    r.in_short
from set_aside_rows as s
inner join reference.set_aside_reasons as r on s.reason_code = r.reason_code
group by s.reason_code, r.in_short
order by n_rows desc, s.reason_code
