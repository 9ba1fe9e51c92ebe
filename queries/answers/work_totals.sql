-- What each kind of work adds up to in the portfolio, with its 90 % range, most first. One row per work type.
select
    p.work_type,
    w.in_words,
    w.done_by,
    sum(p.exceedances::decimal(38, 15))::double as exceedances,
    n.exceedances_low,
    n.exceedances_high,
    sum(p.exceedances_controlled::decimal(38, 15))::double as exceedances_controlled,
    n.exceedances_controlled_low,
    n.exceedances_controlled_high
from work_pairs as p
inner join reference.work_types as w on p.work_type = w.work_type
left join work_ranges as n on p.work_type = n.work_type
group by all
order by exceedances desc, p.work_type
