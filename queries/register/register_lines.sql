-- One row per raw row of a register sheet with a heading. The registers under our field names, as written, with what a
-- row leaves blank because a line above said it.
-- Kept as a step.
with named as (
    select
        r.table_id,
        r.path,
        r.sheet,
        coalesce(r.sheet, '') as sheet_key,
        r.row_number,
        r.cells,
        r.line,
        r.first_said,
        nullif(r.cells[p.property_ref_at], '') as property_ref,
        nullif(ltrim(r.cells[p.uprn_at], ''''), '') as uprn,
        nullif(
            array_to_string(
                list_filter(
                    list_transform(p.address_at, lambda position: r.cells[position]), lambda cell: cell <> ''
                ), ', '
            ), ''
        ) as address,
        nullif(r.cells[p.postcode_at], '') as postcode,
        nullif(r.cells[p.survey_type_at], '') as survey_type,
        nullif(r.cells[p.surveyed_on_at], '') as surveyed_on,
        nullif(r.cells[p.surveyor_at], '') as surveyor,
        nullif(r.cells[p.organisation_at], '') as organisation,
        nullif(r.cells[p.floor_at], '') as floor,
        nullif(r.cells[p.room_at], '') as room,
        nullif(r.cells[p.position_at], '') as position,
        nullif(r.cells[p.product_at], '') as product,
        nullif(r.cells[p.extent_at], '') as extent,
        coalesce(nullif(r.cells[p.extent_unit_at], ''), p.extent_heading_unit) as extent_unit,
        nullif(r.cells[p.identification_at], '') as identification,
        nullif(r.cells[p.asbestos_types_at], '') as asbestos_types,
        nullif(r.cells[p.sample_ref_at], '') as sample_ref,
        coalesce(nullif(r.cells[p.damage_at], ''), nullif(r.cells[p.damage_score_at], '')) as damage,
        nullif(r.cells[p.damage_score_at], '') as damage_score,
        nullif(r.cells[p.product_type_score_at], '') as product_type_score,
        coalesce(nullif(r.cells[p.surface_at], ''), nullif(r.cells[p.surface_treatment_score_at], '')) as surface,
        nullif(r.cells[p.surface_treatment_score_at], '') as surface_treatment_score,
        nullif(r.cells[p.asbestos_type_score_at], '') as asbestos_type_score,
        nullif(r.cells[p.material_score_at], '') as material_score,
        nullif(r.cells[p.priority_score_at], '') as priority_score,
        nullif(r.cells[p.accessibility_at], '') as accessibility,
        nullif(r.cells[p.recommendation_at], '') as recommendation,
        nullif(r.cells[p.notes_at], '') as notes,
        concat_ws('|', property_ref, uprn, address) as said_property,
        r.line = 'item' and coalesce(property_ref, uprn, address) is not null as names_property
    from table_rows as r
    left join table_columns as p on r.table_id = p.table_id
    where r.kind = 'registers'
),

-- A line above names the property of the rows below it until the next such line; totals and lines that nobody
-- understands end what it said.
properties_above as (
    select
        *,
        coalesce(sheet, '') as sheet_key,
        coalesce(property_ref, uprn, address) is not null as names_property
    from thin_lines
    where coalesce(property_ref, uprn, address) is not null or line in ('totals', 'one cell')
),

visits_above as (
    select
        *,
        coalesce(sheet, '') as sheet_key
    from thin_lines
    where coalesce(survey_type, surveyed_on, surveyor, organisation) is not null
),

rooms_above as (
    select
        *,
        coalesce(sheet, '') as sheet_key
    from thin_lines
    where room is not null or coalesce(property_ref, uprn, address) is not null or line in ('totals', 'one cell')
),

sheets as (
    select
        n.path,
        n.sheet,
        count(*) filter (where not n.names_property) >= max(l.value) * count(*)
        or exists (
            from properties_above as a
            where a.path = n.path and a.sheet is not distinct from n.sheet and a.names_property
        ) as carries_down,
        count(*) filter (where n.room is null) > 0 as has_blank_rooms
    from named as n
    cross join reference.limits as l
    where n.line = 'item' and l.name = 'carry_down_share_least'
    group by n.path, n.sheet
),

own_above as (
    select
        n.path,
        n.sheet,
        n.row_number,
        last_value(
            case
                when n.names_property
                    then struct_pack(
                        row_number := n.row_number,
                        property_ref := n.property_ref,
                        uprn := n.uprn,
                        address := n.address,
                        postcode := n.postcode,
                        survey_type := n.survey_type,
                        surveyed_on := n.surveyed_on,
                        surveyor := n.surveyor,
                        organisation := n.organisation
                    )
            end ignore nulls
        ) over so_far as home,
        last_value(
            case
                when n.line = 'item' and n.room is not null
                    then struct_pack(row_number := n.row_number, room := n.room, said := n.said_property)
            end ignore nulls
        ) over so_far as spot
    from named as n
    inner join sheets as s on n.path = s.path and n.sheet is not distinct from s.sheet
    where s.carries_down
    window so_far as (
        partition by n.path, n.sheet
        order by n.row_number
        rows between unbounded preceding and current row
    )
),

above as (
    select
        n.*,
        s.carries_down,
        s.has_blank_rooms,
        o.home,
        o.spot,
        p.row_number as property_row,
        struct_pack(
            row_number := p.row_number,
            property_ref := p.property_ref,
            uprn := p.uprn,
            address := p.address,
            postcode := p.postcode,
            survey_type := p.survey_type,
            surveyed_on := p.surveyed_on,
            surveyor := p.surveyor,
            organisation := p.organisation
        ) as line_home,
        r.row_number as room_row,
        r.room as line_room,
        v.survey_type as visit_type,
        v.surveyed_on as visit_on,
        v.surveyor as visit_by,
        v.organisation as visit_of
    from named as n
    left join sheets as s on n.path = s.path and n.sheet is not distinct from s.sheet
    left join own_above as o
        on n.path = o.path and n.sheet is not distinct from o.sheet and n.row_number = o.row_number
    asof left join properties_above as p
        on n.path = p.path and n.sheet_key = p.sheet_key and n.row_number >= p.row_number
    asof left join rooms_above as r
        on n.path = r.path and n.sheet_key = r.sheet_key and n.row_number >= r.row_number
    asof left join visits_above as v
        on n.path = v.path and n.sheet_key = v.sheet_key and n.row_number >= v.row_number
),

sourced as (
    select
        *,
        line = 'item' and not names_property and coalesce(carries_down, false) as is_carrying,
        case when coalesce(home.row_number, 0) >= coalesce(property_row, 0) then home else line_home end as source
    from above
),

carried as (
    select
        *,
        is_carrying and coalesce(source.property_ref, source.uprn, source.address) is not null as is_carried,
        case
            when line <> 'item' or room is not null then null
            when
                coalesce(has_blank_rooms and carries_down, false)
                and spot.row_number >= coalesce(room_row, 0)
                and case when is_carried then spot.row_number >= source.row_number else spot.said = said_property end
                then spot.room
            else line_room
        end as room_above
    from sourced
)

select
    table_id,
    path,
    sheet,
    row_number,
    cells,
    line,
    first_said,
    is_carried,
    case when is_carried then source.property_ref else property_ref end as property_ref,
    case when is_carried then source.uprn else uprn end as uprn,
    case when is_carried then source.address else address end as address,
    case when is_carried then source.postcode else postcode end as postcode,
    coalesce(survey_type, case when is_carried then source.survey_type end, visit_type) as survey_type,
    coalesce(surveyed_on, case when is_carried then source.surveyed_on end, visit_on) as surveyed_on,
    coalesce(surveyor, case when is_carried then source.surveyor end, visit_by) as surveyor,
    coalesce(organisation, case when is_carried then source.organisation end, visit_of) as organisation,
    floor,
    coalesce(room, room_above) as room,
    room_above is not null as is_room_carried,
    position,
    product,
    extent,
    extent_unit,
    identification,
    asbestos_types,
    sample_ref,
    damage,
    damage_score,
    product_type_score,
    surface,
    surface_treatment_score,
    asbestos_type_score,
    material_score,
    priority_score,
    accessibility,
    recommendation,
    notes,
    -- a room that begins with a flat tells which home of the block; the flat's door is the block's
    case
        when
            regexp_matches(
                case when is_carried then source.address else address end,
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
from carried
