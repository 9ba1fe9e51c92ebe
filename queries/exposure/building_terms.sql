-- What a building's sum is made of, gathered so that terms that vary together are one. One row per building, profile,
-- scope, dwelling, area and source of the chance of being there.
-- Kept as a step.
with terms as (
    select
        c.building_ref,
        i.profile_id,
        i.scope,
        c.dwelling,
        c.area,
        a.presence_key,
        a.p_present,
        i.share
    from item_profiles as i
    inner join item_presence as a on i.item_id = a.item_id
    inner join property_cells as c on a.property_ref = c.property_ref
    where a.p_present > 0
    union all
    select
        c.building_ref,
        f.profile_id,
        s.scope,
        c.dwelling,
        c.area,
        'possible ' || c.archetype || ' ' || c.part || ' ' || p.contact_code as presence_key,
        p.p_present,
        1 as share
    from possible_items as p
    inner join property_cells as c on p.property_ref = c.property_ref
    inner join profiles as f
        on
            p.contact_code = f.contact_code
            and p.product = f.product
            and f.damage = '0'
            and f.sealing = 'sealed'
            and f.reach_percent = 100
    cross join (
        values ('home'),
        ('room')
    ) as s (scope)
)

select
    building_ref,
    profile_id,
    scope,
    dwelling,
    area,
    presence_key,
    max(p_present) as p_present,
    sum(share::decimal(38, 15))::double as share
from terms
group by building_ref, profile_id, scope, dwelling, area, presence_key
order by building_ref, profile_id, scope, dwelling, area, presence_key
