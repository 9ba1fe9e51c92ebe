-- Why rows, sheets or files were set aside, most first, and whether there is anything to mend. One row per reason.
select
    s.reason_code,
    count(*) as n_rows,
    r.in_short,
    r.to_mend
from set_aside_rows as s
inner join reference.set_aside_reasons as r on s.reason_code = r.reason_code
group by s.reason_code, r.in_short, r.to_mend
order by n_rows desc, s.reason_code
