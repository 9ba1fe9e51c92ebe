-- The homes and parts of a building, worst first. One row per property.
-- $building_ref: which building
with chosen as (
    select *
    from properties
    where building_ref = $building_ref
),

held as (
    select
        i.property_ref,
        min(r.rank) as best_rank,
        count(*) as items,
        count(*) filter (where i.act_now) as items_act_now,
        max(coalesce(i.material_score, i.material_high)) as worst_score
    from items as i
    inner join item_ranking as r on i.item_id = r.item_id and i.property_ref = r.property_ref
    where
        i.property_ref in (
            select property_ref
            from chosen
        )
    group by i.property_ref
)

select
    p.property_ref,
    p.uprn,
    p.address,
    p.postcode,
    p.part,
    p.dwelling_type,
    p.built_year,
    p.oldest_year,
    p.archetype,
    coalesce(e.is_surveyed, false) as is_surveyed,
    coalesce(e.n_no_access, 0) as n_no_access,
    e.last_surveyed_on,
    coalesce(h.items, 0) as items,
    coalesce(h.items_act_now, 0) as items_act_now,
    h.worst_score
from chosen as p
left join surveyed_properties as e on p.property_ref = e.property_ref
left join held as h on p.property_ref = h.property_ref
order by h.best_rank nulls last, p.property_ref
