-- One row per raw row of a register sheet with a heading. The registers under our field names, as written, with what a
-- row leaves blank because the row above said it.
-- Kept as a step.
with positions as (
    from (
        pivot headings
        on field in (
            'property_ref', 'uprn', 'address', 'postcode', 'survey_type', 'surveyed_on', 'surveyor',
            'organisation', 'room', 'product', 'extent', 'extent_unit', 'identification', 'asbestos_types',
            'sample_ref',
            'damage',
            'damage_score',
            'product_type_score',
            'surface',
            'surface_treatment_score',
            'asbestos_type_score',
            'material_score', 'priority_score', 'accessibility', 'recommendation', 'notes'
        )
        using max(position) as at
        group by path, sheet
    )
),

named as (
    select
        r.path,
        r.sheet,
        r.row_number,
        r.cells,
        list_filter(r.cells, lambda cell: trim(cell) <> '') as said,
        case
            when r.row_number <= h.heading_row or r.cells = heading.cells then 'layout'
            when regexp_matches(said[1], '^\s*(grand|sub)?[\s-]*totals?\b', 'i') then 'totals'
            when len(said) = 1 then 'one cell'
            else 'item'
        end as line,
        nullif(trim(r.cells[p.property_ref_at]), '') as property_ref,
        nullif(trim(r.cells[p.uprn_at]), '') as uprn,
        nullif(trim(r.cells[p.address_at]), '') as address,
        nullif(trim(r.cells[p.postcode_at]), '') as postcode,
        nullif(trim(r.cells[p.survey_type_at]), '') as survey_type,
        nullif(trim(r.cells[p.surveyed_on_at]), '') as surveyed_on,
        nullif(trim(r.cells[p.surveyor_at]), '') as surveyor,
        nullif(trim(r.cells[p.organisation_at]), '') as organisation,
        nullif(trim(r.cells[p.room_at]), '') as room,
        nullif(trim(r.cells[p.product_at]), '') as product,
        nullif(trim(r.cells[p.extent_at]), '') as extent,
        coalesce(
            nullif(trim(r.cells[p.extent_unit_at]), ''),
            nullif(regexp_extract(lower(extent), '[0-9]\s*([a-z²³][a-z²³0-9./ ]*)$', 1), '')
        ) as extent_unit,
        nullif(trim(r.cells[p.identification_at]), '') as identification,
        nullif(trim(r.cells[p.asbestos_types_at]), '') as asbestos_types,
        nullif(trim(r.cells[p.sample_ref_at]), '') as sample_ref,
        nullif(trim(r.cells[p.damage_at]), '') as damage,
        nullif(trim(r.cells[p.damage_score_at]), '') as damage_score,
        nullif(trim(r.cells[p.product_type_score_at]), '') as product_type_score,
        nullif(trim(r.cells[p.surface_at]), '') as surface,
        nullif(trim(r.cells[p.surface_treatment_score_at]), '') as surface_treatment_score,
        nullif(trim(r.cells[p.asbestos_type_score_at]), '') as asbestos_type_score,
        nullif(trim(r.cells[p.material_score_at]), '') as material_score,
        nullif(trim(r.cells[p.priority_score_at]), '') as priority_score,
        nullif(trim(r.cells[p.accessibility_at]), '') as accessibility,
        nullif(trim(r.cells[p.recommendation_at]), '') as recommendation,
        nullif(trim(r.cells[p.notes_at]), '') as notes,
        line = 'item' and coalesce(property_ref, uprn, address) is not null as names_property
    from raw_rows as r
    inner join heading_rows as h on r.path = h.path and r.sheet is not distinct from h.sheet
    inner join positions as p on r.path = p.path and r.sheet is not distinct from p.sheet
    inner join raw_rows as heading
        on
            h.path = heading.path
            and h.sheet is not distinct from heading.sheet
            and h.heading_row = heading.row_number
    where h.kind = 'registers'
),

sheets as (
    select
        path,
        sheet,
        count(*) filter (where not names_property) >= max(l.value) * count(*) as carries_down
    from named
    cross join reference.limits as l
    where line = 'item' and l.name = 'carry_down_share_least'
    group by path, sheet
),

above as (
    select
        named.path,
        named.sheet,
        named.row_number,
        last_value(
            case
                when named.names_property
                    then struct_pack(
                        property_ref := named.property_ref,
                        uprn := named.uprn,
                        address := named.address,
                        postcode := named.postcode,
                        survey_type := named.survey_type,
                        surveyed_on := named.surveyed_on,
                        surveyor := named.surveyor,
                        organisation := named.organisation
                    )
            end ignore nulls
        ) over (
            partition by named.path, named.sheet
            order by named.row_number
            rows between unbounded preceding and current row
        ) as home
    from named
    inner join sheets on named.path = sheets.path and named.sheet is not distinct from sheets.sheet
    where sheets.carries_down
),

carried as (
    select
        named.*,
        coalesce(named.line = 'item' and sheets.carries_down and not named.names_property, false) as is_carried,
        above.home
    from named
    left join sheets on named.path = sheets.path and named.sheet is not distinct from sheets.sheet
    left join above
        on
            named.path = above.path
            and named.sheet is not distinct from above.sheet
            and named.row_number = above.row_number
)

select
    * exclude (home, names_property, said) replace (
        is_carried and home is not null as is_carried,
        case when is_carried then home.property_ref else property_ref end as property_ref,
        case when is_carried then home.uprn else uprn end as uprn,
        case when is_carried then home.address else address end as address,
        case when is_carried then home.postcode else postcode end as postcode,
        case when is_carried then coalesce(survey_type, home.survey_type) else survey_type end as survey_type,
        case when is_carried then coalesce(surveyed_on, home.surveyed_on) else surveyed_on end as surveyed_on,
        case when is_carried then coalesce(surveyor, home.surveyor) else surveyor end as surveyor,
        case when is_carried then coalesce(organisation, home.organisation) else organisation end as organisation
    ),
    said[1] as first_said
from carried
