-- Expected exceedances of the control limit a year at each item, over all kinds of work. One row per item.
-- Kept as a view.
select
    a.item_id,
    coalesce(sum(e.exceedances_per_year::decimal(38, 15)), 0)::double as exceedances,
    coalesce(sum(e.exceedances_controlled::decimal(38, 15)), 0)::double as exceedances_controlled
from item_presence as a
left join exposures as e on a.item_id = e.item_id
group by a.item_id
