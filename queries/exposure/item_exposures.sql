-- Expected exceedances of the control limit a year at each item, over all kinds of work. One row per item.
select
    i.item_id,
    sum((a.p_present * i.share * s.exceedances::double)::decimal(38, 15))::double as exceedances,
    sum((a.p_present * i.share * s.controlled::double)::decimal(38, 15))::double as exceedances_controlled
from item_profiles as i
inner join item_presence as a on i.item_id = a.item_id
inner join property_cells as c on a.property_ref = c.property_ref
inner join profile_sums as s
    on i.profile_id = s.profile_id and i.scope = s.scope and c.dwelling = s.dwelling and c.area = s.area
group by i.item_id
