-- What a building's sum is made of, gathered so that terms that vary together are one. One row per building, cell of
-- work and source of the chance of being there.
with placed as (
    select
        c.property_ref,
        b.building_id,
        c.archetype,
        c.part,
        c.stratum_id
    from property_cells as c
    inner join building_numbers as b on c.building_ref = b.building_ref
),

terms as (
    select
        c.building_id,
        s.cell_id,
        r.presence_id,
        i.share
    from item_profiles as i
    inner join item_presence as a on i.item_id = a.item_id
    inner join presence_ranges as r on a.presence_key = r.presence_key
    inner join placed as c on a.property_ref = c.property_ref
    inner join profile_sums as s on work_cell(i.profile_id, i.scope, c.stratum_id) = s.cell_id
    where r.point > 0
    union all
    select
        c.building_id,
        s.cell_id,
        r.presence_id,
        p.share
    from possible_items as p
    inner join placed as c on p.property_ref = c.property_ref
    inner join presence_ranges as r on possible(c.archetype, c.part, p.contact_code) = r.presence_key
    inner join profiles as f
        on
            p.contact_code = f.contact_code
            and p.product = f.product
            and is_usual(f.damage, f.sealing, f.reach_percent)
    inner join profile_sums as s on f.profile_id = s.profile_id and c.stratum_id = s.stratum_id
)

select
    building_id,
    cell_id,
    presence_id,
    sum(share::decimal(38, 15))::double as share
from terms
group by building_id, cell_id, presence_id
order by building_id, cell_id, presence_id
