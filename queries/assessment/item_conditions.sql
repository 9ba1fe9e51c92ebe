-- One row per item. What an item is by now: condition from its latest visit that states it, material from the latest
-- that names one, asbestos type from its best evidence; the rows of one visit that are one item add their extents up,
-- and the worst of them stands. A positive analysis stands against everything; a negative one against presumptions. A
-- row that says it is gone states no condition where another does.
-- Kept as a step.
with history as (
    select
        l.item_id,
        l.rows_of_visit,
        r.entry_id,
        r.path,
        r.sheet,
        r.surveyed_on,
        r.identification,
        r.is_suspect,
        r.product,
        r.is_debris,
        r.asbestos_types,
        r.sample_ref,
        r.accessibility,
        r.extent,
        r.extent_unit,
        r.notes,
        f.fate in ('removed', 'not_found') as is_gone,
        s.* exclude (entry_id),
        -epoch(r.surveyed_on) as age
    from item_links as l
    inner join readings as r on l.entry_id = r.entry_id
    left join sub_scores as s on l.entry_id = s.entry_id
    left join reported_fates as f on l.entry_id = f.entry_id
),

-- What the rows of one visit say of one item together.
visits as (
    select
        h.item_id,
        h.surveyed_on,
        h.path,
        h.sheet,
        min(v.event) as event,
        bool_or(h.is_suspect) as is_suspect
    from history as h
    left join reported_events as v on h.entry_id = v.entry_id
    where h.rows_of_visit > 1
    group by h.item_id, h.surveyed_on, h.path, h.sheet
),

extents as (
    select
        item_id,
        surveyed_on,
        path,
        sheet,
        extent_unit,
        is_suspect,
        sum(extent::decimal(18, 4))::double as extent
    from history
    where rows_of_visit > 1
    group by item_id, surveyed_on, path, sheet, extent_unit, is_suspect
    having count(extent) = count(*)
),

ordered as (
    select
        h.*,
        case when h.rows_of_visit > 1 then v.event else e.event end as visit_event,
        coalesce(x.extent, h.extent) as visit_extent,
        case
            when h.identification = 'identified' then 4
            when h.is_gone then 0
            when h.identification = 'not_detected' then case when coalesce(v.is_suspect, h.is_suspect) then 0 else 3 end
            when h.identification = 'strongly_presumed' then 2
            else 1
        end as evidence
    from history as h
    left join reported_events as e on h.entry_id = e.entry_id
    left join visits as v
        on
            h.item_id = v.item_id
            and h.surveyed_on is not distinct from v.surveyed_on
            and h.path = v.path
            and h.sheet is not distinct from v.sheet
    left join extents as x
        on
            h.item_id = x.item_id
            and h.surveyed_on is not distinct from x.surveyed_on
            and h.path = x.path
            and h.sheet is not distinct from x.sheet
            and h.extent_unit is not distinct from x.extent_unit
            and h.is_suspect = x.is_suspect
),

-- Rows of values are compared field by field, the least first, what is missing last.
chosen as (
    select
        item_id,
        min(surveyed_on) as first_surveyed_on,
        max(surveyed_on) as last_surveyed_on,
        count(*)::integer as n_entries,
        arg_min(
            struct_pack(
                entry_id := entry_id,
                accessibility := accessibility,
                extent := visit_extent,
                extent_unit := extent_unit,
                event := visit_event
            ),
            row(
                not is_suspect, coalesce(is_gone, false), age, -damage_score, coalesce(-accessibility, -9),
                -surface_treatment_high, -product_type_high, -extent, notes, entry_id
            )
        ) as condition,
        arg_min(
            struct_pack(
                product := product,
                score := product_type_score,
                low := product_type_low,
                high := product_type_high
            ),
            row(
                not is_suspect, product = 'other', coalesce(is_gone, false), age, -damage_score,
                coalesce(-accessibility, -9), -surface_treatment_high, -product_type_high, -extent, notes, entry_id
            )
        ) as material,
        arg_min(
            struct_pack(
                entry_id := entry_id,
                is_debris := is_debris,
                score := damage_score,
                low := damage_low,
                high := damage_high
            ),
            row(not is_suspect, damage_score is null, age, -damage_score, -damage_high, entry_id)
        ) as damage,
        arg_min(
            struct_pack(
                entry_id := entry_id,
                score := surface_treatment_score,
                low := surface_treatment_low,
                high := surface_treatment_high
            ),
            row(
                not is_suspect, surface_treatment_score is null, age, -surface_treatment_score,
                -surface_treatment_high, entry_id
            )
        ) as surface,
        arg_min(
            struct_pack(
                entry_id := entry_id,
                identification := identification,
                asbestos_types := asbestos_types,
                score := asbestos_type_score,
                low := asbestos_type_low,
                high := asbestos_type_high
            ),
            row(-evidence, age, -asbestos_type_high, -asbestos_type_low, sample_ref, asbestos_types, entry_id)
        ) as evidence
    from ordered
    group by item_id
)

select
    i.item_id,
    i.condition.entry_id,
    i.evidence.entry_id as evidence_entry_id,
    i.damage.entry_id as damage_entry_id,
    i.surface.entry_id as surface_entry_id,
    c.property_ref,
    c.building_ref,
    c.place,
    c.room_key,
    k.contact_code,
    i.material.product,
    i.damage.is_debris,
    i.evidence.identification,
    i.evidence.asbestos_types,
    i.condition.accessibility,
    i.condition.extent,
    i.condition.extent_unit,
    i.condition.event,
    i.first_surveyed_on,
    i.last_surveyed_on,
    i.n_entries,
    i.evidence.identification <> 'not_detected' as is_suspect,
    i.material.score as product_type_score,
    i.material.low as product_type_low,
    i.material.high as product_type_high,
    i.damage.score as damage_score,
    i.damage.low as damage_low,
    i.damage.high as damage_high,
    i.surface.score as surface_treatment_score,
    i.surface.low as surface_treatment_low,
    i.surface.high as surface_treatment_high,
    i.evidence.score as asbestos_type_score,
    i.evidence.low as asbestos_type_low,
    i.evidence.high as asbestos_type_high
from chosen as i
inner join readings as c on i.condition.entry_id = c.entry_id
left join contact_codes_met as k
    on
        i.material.product = k.product
        and coalesce(c.place, 'other') = k.place
        and coalesce(c.element, '') = k.element
