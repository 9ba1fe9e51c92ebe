-- Buildings in the order in which to act; a building ranks by its worst item. One row per building.
with seen as (
    select
        property_ref,
        count(*) filter (where identification <> 'no_access') as n_seen
    from entries
    group by property_ref
),

surveyed as (
    select
        p.building_ref,
        (count(*) filter (where s.n_seen > 0))::integer as properties_surveyed
    from properties as p
    left join seen as s on p.property_ref = s.property_ref
    group by p.building_ref
),

held as (
    select
        i.building_ref,
        min(r.rank) as best_rank,
        count(*)::integer as items,
        (count(*) filter (where i.act_now))::integer as items_act_now
    from items as i
    inner join item_ranking as r on i.item_id = r.item_id
    group by i.building_ref
),

worst as (
    select
        b.building_ref,
        b.properties,
        s.properties_surveyed,
        coalesce(h.items, 0) as items,
        coalesce(h.items_act_now, 0) as items_act_now,
        r.item_id as worst_item_id,
        r.why as worst_why,
        i.act_now,
        coalesce(i.material_score, i.material_high) as worst_score,
        i.damage_score
    from buildings as b
    inner join surveyed as s on b.building_ref = s.building_ref
    left join held as h on b.building_ref = h.building_ref
    left join item_ranking as r on h.best_rank = r.rank
    left join items as i on r.item_id = i.item_id
)

select
    (row_number() over (
        order by
            coalesce(act_now, false) desc, worst_score desc nulls last, damage_score desc nulls last,
            properties_surveyed, building_ref
    ))::integer as rank,
    building_ref,
    properties,
    properties_surveyed,
    items,
    items_act_now,
    worst_item_id,
    worst_score,
    case
        when worst_item_id is not null
            then worst_why || case when items > 1 then '; ' || (items - 1) || ' more' else '' end
        when properties_surveyed = 0
            then 'Never surveyed, so nothing is known'
        when properties_surveyed < properties
            then 'Nothing recorded where surveyed; the rest was never surveyed'
        else 'Surveyed, nothing recorded'
    end as why
from worst
