-- What the view item_exposures says, for all items in one pass, with their buildings. One row per item. Sums of two at
-- most, home and room, which are the same either way about.
-- Kept as a step.
with sums as (
    select
        i.item_id,
        min(c.building_ref) as building_ref,
        sum(i.share * s.exceedances) as exceedances,
        sum(i.share * s.controlled) as controlled
    from item_profiles as i
    inner join property_cells as c on i.property_ref = c.property_ref
    inner join profile_sums as s on work_cell(i.profile_id, i.scope, c.stratum_id) = s.cell_id
    group by i.item_id
)

select
    s.item_id,
    s.building_ref,
    a.p_present * s.exceedances as exceedances,
    a.p_present * s.controlled as exceedances_controlled
from sums as s
inner join item_presence as a on s.item_id = a.item_id
