-- Expected exceedances of the control limit a year at each item, over all kinds of work. One row per item. Sums of two
-- at most, home and room, which are the same either way about.
select
    i.item_id,
    sum(a.p_present * i.share * s.exceedances) as exceedances,
    sum(a.p_present * i.share * s.controlled) as exceedances_controlled
from item_profiles as i
inner join item_presence as a on i.item_id = a.item_id
inner join property_cells as c on a.property_ref = c.property_ref
inner join profile_sums as s on work_cell(i.profile_id, i.scope, c.stratum_id) = s.cell_id
group by i.item_id
