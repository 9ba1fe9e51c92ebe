-- One row per raw row of a register sheet with a heading. The registers under our field names, as written, with what a
-- row leaves blank because a line above said it.
-- Kept as a step.

-- Where only some lines of a home have a day, and all the same, it holds for the others of that home, which are told by
-- its reference where they have one: the address may stand on the first of them only.
with days_of_homes as (
    select
        table_id,
        coalesce(property_ref, said_property) as said_home,
        min(surveyed_on) as surveyed_on
    from register_rows
    where line = 'item' and names_property
    group by table_id, said_home
    having count(surveyed_on) < count(*) and min(surveyed_on) = max(surveyed_on)
),

carried as (
    select
        n.*,
        a.ref_above,
        a.uprn_above,
        a.address_above,
        a.postcode_above,
        a.survey_type_above,
        a.surveyed_on_above,
        a.surveyor_above,
        a.organisation_above,
        a.job_above,
        a.visit_type,
        a.visit_on,
        a.visit_by,
        a.visit_of,
        a.is_visit_of_other,
        d.surveyed_on as day_of_home,
        -- a line says it of all visits, so that the day of another row of the home is its own
        coalesce(a.visit_on like '% (of all)', false) as is_told_of_all,
        -- of the visit whose condition stands beside an earlier one: what it left blank is of the visit above
        if(p.surveyed_on_at > list_max(p.damages_before_at) and not a.is_visit_of_other, nullif(a.visit_on, ''), null)
            as visit_before,
        n.line = 'item'
        and not n.names_property
        and coalesce(a.carries_down, false)
        and coalesce(a.ref_above, a.uprn_above, a.address_above) is not null as is_carried,
        case
            when n.line <> 'item' or n.room is not null then null
            when
                coalesce(a.own_room_row, 0) >= greatest(coalesce(a.room_row, 0), 1)
                and case
                    when is_carried then a.own_room_row >= a.source_row
                    else a.own_room_property = n.said_property
                end
                then a.own_room
            else a.line_room
        end as room_above
    from register_rows as n
    left join table_columns as p on n.table_id = p.table_id
    left join days_of_homes as d
        on
            n.table_id = d.table_id
            and coalesce(n.property_ref, n.said_property) = d.said_home
            and n.surveyed_on is null
            and n.line = 'item'
            and n.names_property
    left join register_above as a on n.path = a.path and n.sheet_key = a.sheet_key and n.row_number = a.row_number
),

-- What notes say instead of a cell stands where that is plain: an amount that denies the one of the cell, a material
-- that may be asbestos, a worse condition, another surface.
noted as (
    select
        c.*,
        -- the day of a re-inspection stands where neither the row nor a line above has that of the survey
        case
            when coalesce(c.is_visit_reinspected, false) then null
            -- the year may stand on a line above
            when regexp_full_match(c.visit_on, '(19|20)[0-9]{2}')
                then coalesce(day_in_year(c.surveyed_on, c.visit_on), c.surveyed_on)
            else c.surveyed_on
        end as day_of_survey,
        coalesce(
            c.visit_before,
            if(c.is_carried, c.surveyed_on_above, null),
            if(c.is_told_of_all, c.visit_on, c.day_of_home),
            nullif(c.visit_on, '')
        ) as day_of_line,
        o.extent || ' ' || o.extent_unit as extent_noted,
        o.product as product_noted,
        o.damage_score as damage_noted,
        o.surface as surface_noted,
        try_cast(regexp_extract(c.extent, '[0-9]+(?:\.[0-9]+)?') as double) as extent_figure,
        regexp_extract(coalesce(c.damage_score, c.damage), '^\s*([0-3])(?:\.0)?\b', 1) as damage_figure,
        regexp_matches(c.surface, '(?i)unseal|unpaint|bare|not (sealed|painted)') as is_unsealed,
        coalesce(c.line = 'item' and extent_figure = o.extent_not and extent_figure <> o.extent, false)
            as is_extent_overruled,
        coalesce(c.line = 'item' and o.is_suspect and lower(o.product) <> lower(c.product), false)
            as is_product_overruled,
        coalesce(c.line = 'item' and damage_figure <> '' and o.damage_score > damage_figure, false)
            as is_damage_overruled,
        coalesce(
            c.line = 'item' and c.surface_treatment_score is null and is_unsealed <> (o.surface = 'unsealed'), false
        ) as is_surface_overruled,
        list_filter(
            [
                case when o.extent <> extent_figure and not is_extent_overruled then 'extent' end,
                case when lower(o.product) <> lower(c.product) and not is_product_overruled then 'product' end,
                case when o.damage_score <> damage_figure and not is_damage_overruled then 'damage' end
            ],
            lambda one: one is not null
        ) as fields_noted
    from carried as c
    left join overruling_notes as o on c.notes = o.notes
)

select
    table_id,
    path,
    sheet,
    row_number,
    line,
    first_said,
    is_carried,
    case when is_carried then ref_above else property_ref end as property_ref,
    case when is_carried then uprn_above else uprn end as uprn,
    case when is_carried then address_above else address end as address,
    case when is_carried then postcode_above else postcode end as postcode,
    coalesce(survey_type, case when is_carried then survey_type_above end, visit_type) as survey_type,
    coalesce(day_of_survey, day_of_line, surveyed_on) as surveyed_on,
    -- also from the line of the home before, where that of this one gives none
    surveyed_on is null
    and (
        (day_of_home is not null and not is_told_of_all)
        or coalesce(
            is_visit_of_other and visit_on is not null and if(is_carried, surveyed_on_above, null) is null, false
        )
    ) as is_visit_carried,
    coalesce(surveyor, case when is_carried then surveyor_above end, visit_by) as surveyor,
    coalesce(organisation, case when is_carried then organisation_above end, visit_of) as organisation,
    coalesce(room, room_above) as room,
    room_above is not null as is_room_carried,
    position,
    if(is_product_overruled, product_noted, product) as product,
    product_beside,
    if(is_extent_overruled, extent_noted, extent) as extent,
    if(is_extent_overruled, null, extent_unit) as extent_unit,
    is_unit_above and not is_extent_overruled as is_unit_above,
    list_filter(
        [
            if(is_extent_overruled, 'extent', null),
            if(is_product_overruled, 'product', null),
            if(is_damage_overruled, 'damage', null),
            if(is_surface_overruled, 'surface', null)
        ],
        lambda one: one is not null
    ) as fields_overruled,
    fields_noted,
    identification,
    is_sampled,
    is_result_in_notes,
    is_extent_in_notes,
    is_extent_of_before,
    is_extent_earlier and not is_extent_overruled as is_extent_earlier,
    results_contradicted,
    removal,
    record_void,
    asbestos_types,
    sample_ref,
    item_ref,
    coalesce(job_ref, case when is_carried then job_above end) as job_ref,
    if(is_damage_overruled and damage_score is null, damage_noted, damage) as damage,
    is_damage_earlier,
    is_result_earlier,
    is_visit_earlier,
    is_visit_reinspected and day_of_line is null as is_visit_reinspected,
    has_visit_beside or coalesce(is_visit_reinspected and day_of_line <> surveyed_on, false) as has_visit_beside,
    if(is_damage_overruled and damage_score is not null, damage_noted, damage_score) as damage_score,
    product_type_score,
    if(is_surface_overruled, surface_noted, surface) as surface,
    surface_treatment_score,
    asbestos_type_score,
    material_score,
    material_band,
    priority_score,
    accessibility,
    recommendation,
    notes,
    -- a room that begins with a flat tells which home of the block; the flat's door is the block's; of a line of
    -- garages, the room is which of them
    case
        when
            is_carried
            and regexp_matches(address_above, '^\W*(garages|lock-?ups)\b', 'i')
            and regexp_matches(coalesce(room, room_above), '^\s*(garage|gar|gge)\.?\s*(no\.?\s*)?[0-9]', 'i')
            then 'garage:' || lower(regexp_extract(coalesce(room, room_above), '0*([0-9]+[A-Za-z]?)\b', 1))
        when
            regexp_matches(
                case when is_carried then address_above else address end,
                '\b(flat|apartment|apt|unit|maisonette)', 'i'
            )
            or regexp_matches(
                coalesce(room, room_above), '\b(door|entrance|riser|meter|landing|lobby|outside|o/s)', 'i'
            )
            then null
        else
            nullif(
                lower(
                    regexp_extract(
                        coalesce(room, room_above),
                        '(?i)^\s*(?:flat|apartment|apt|unit)\.?\s*(?:no\.?\s*)?0*([0-9]+[a-z]?)\b', 1
                    )
                ), ''
            )
    end as room_flat
from noted
