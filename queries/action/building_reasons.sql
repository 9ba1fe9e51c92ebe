-- One row per building. What a building's exposure is made of: the three pairs of work and kind of material, known or
-- possible, that add the most, each with its own figure.
-- Kept as a step.
with contacts as (
    select
        contact_code,
        short,
        (row_number() over (order by contact_code))::integer as contact_id
    from reference.contact_codes
),

pairs as (
    select
        n.building_id,
        c.contact_id,
        n.is_possible,
        n.work_id,
        sum(n.exceedances::decimal(38, 15))::double as exceedances
    from numbered_parts as n
    inner join numbered_materials as m on n.material_id = m.material_id
    inner join contacts as c on m.contact_code = c.contact_code
    group by n.building_id, c.contact_id, n.is_possible, n.work_id
),

-- Rows of values are compared field by field, the least first.
largest as (
    select
        building_id,
        min(
            struct_pack(
                negative := -exceedances,
                contact_id := contact_id,
                is_possible := is_possible,
                work_id := work_id
            ), 3
        ) as pairs
    from pairs
    group by building_id
),

ordered as (
    select
        building_id,
        unnest(pairs) as pair
    from largest
)

select
    b.building_ref,
    string_agg(
        pair(w.in_words, k.short, o.pair.is_possible, -o.pair.negative),
        '; ' order by o.pair
    ) as reasons
from ordered as o
inner join building_numbers as b on o.building_id = b.building_id
inner join contacts as k on o.pair.contact_id = k.contact_id
inner join numbered_works as n on o.pair.work_id = n.work_id
inner join reference.work_types as w on n.work_type = w.work_type
group by b.building_ref
