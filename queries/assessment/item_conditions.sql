-- One row per item. What an item is by now: condition from its latest visit that states it, asbestos type from its best
-- evidence; the rows of one visit that are one item add their extents up, and the worst of them stands. A positive
-- analysis stands against everything; a negative one against presumptions.
-- Kept as a step.
with history as (
    select
        l.item_id,
        r.*,
        k.contact_code,
        s.* exclude (entry_id),
        min(v.event) over visit_of_all as event,
        case r.identification
            when 'identified' then 4
            when 'not_detected'
                then case when bool_or(r.is_suspect) over visit_of_all then 0 else 3 end
            when 'strongly_presumed' then 2
            else 1
        end as evidence
    from item_links as l
    inner join readings as r on l.entry_id = r.entry_id
    left join contact_codes_met as k
        on
            r.product = k.product
            and coalesce(r.place, 'other') = k.place
            and coalesce(r.element, '') = k.element
    left join sub_scores as s on l.entry_id = s.entry_id
    left join reported_events as v on l.entry_id = v.entry_id
    window visit_of_all as (partition by l.item_id, r.surveyed_on, r.path, r.sheet)
),

ordered as (
    select
        *,
        case
            when count(extent) over visit = count(*) over visit then sum(extent::decimal(18, 4)) over visit::double
            else extent
        end as visit_extent,
        row_number() over (
            partition by item_id
            order by
                is_suspect desc, surveyed_on desc nulls last, damage_score desc nulls last,
                accessibility desc nulls first,
                surface_treatment_high desc nulls last, product_type_high desc nulls last,
                extent desc nulls last, notes nulls last, entry_id
        ) as nth_condition,
        row_number() over (
            partition by item_id
            order by
                is_suspect desc, damage_score is null, surveyed_on desc nulls last, damage_score desc,
                damage_high desc, entry_id
        ) as nth_damage,
        row_number() over (
            partition by item_id
            order by
                is_suspect desc, surface_treatment_score is null, surveyed_on desc nulls last,
                surface_treatment_score desc, surface_treatment_high desc, entry_id
        ) as nth_surface,
        row_number() over (
            partition by item_id
            order by
                evidence desc, surveyed_on desc nulls last, asbestos_type_high desc nulls last,
                asbestos_type_low desc nulls last, sample_ref nulls last, asbestos_types, entry_id
        ) as nth_evidence
    from history
    window visit as (partition by item_id, surveyed_on, path, sheet, extent_unit, is_suspect)
),

visits as (
    select
        item_id,
        min(surveyed_on) as first_surveyed_on,
        max(surveyed_on) as last_surveyed_on,
        count(*)::integer as n_entries
    from history
    group by item_id
)

select
    c.item_id,
    c.entry_id,
    e.entry_id as evidence_entry_id,
    d.entry_id as damage_entry_id,
    f.entry_id as surface_entry_id,
    c.property_ref,
    c.building_ref,
    c.place,
    c.room_key,
    c.contact_code,
    c.product,
    d.is_debris,
    e.identification,
    e.asbestos_types,
    c.accessibility,
    c.visit_extent as extent,
    c.extent_unit,
    c.event,
    v.first_surveyed_on,
    v.last_surveyed_on,
    v.n_entries,
    e.identification <> 'not_detected' as is_suspect,
    c.product_type_score,
    c.product_type_low,
    c.product_type_high,
    d.damage_score,
    d.damage_low,
    d.damage_high,
    f.surface_treatment_score,
    f.surface_treatment_low,
    f.surface_treatment_high,
    e.asbestos_type_score,
    e.asbestos_type_low,
    e.asbestos_type_high
from ordered as c
inner join ordered as d on c.item_id = d.item_id and c.nth_condition = 1 and d.nth_damage = 1
inner join ordered as f on c.item_id = f.item_id and f.nth_surface = 1
inner join ordered as e on c.item_id = e.item_id and e.nth_evidence = 1
inner join visits as v on c.item_id = v.item_id
