-- Expected exceedances a year where a whole share was never looked for, in the order of their numbers. One row per
-- source of the chance of being there and stratum.
select
    presence_key,
    stratum_id,
    sum(exceedances::decimal(38, 15))::double as exceedances,
    sum(exceedances_controlled::decimal(38, 15))::double as exceedances_controlled
from possible_kinds
group by possible_number, presence_key, stratum_id
order by possible_number
