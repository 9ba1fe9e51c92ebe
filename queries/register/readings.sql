-- What each used register row says, in our terms, before anything is scored. One row per used register row.
-- $as_of: the day that the figures hold for
-- Kept as a step.
with used as (
    select
        r.*,
        f.property_ref as matched_ref,
        f.match_method,
        f.is_contradicted
    from register_lines as r
    inner join register_fates as f
        on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
    where not f.is_layout and f.reason_code is null
),

termed as (
    select
        u.*,
        p.building_ref,
        p.part,
        s.sha256,
        survey_type.term as survey_type_term,
        coalesce(in_block.in_common_parts, place.term) as place,
        place.how as place_how,
        product.term as product_term,
        product.how as product_how,
        coalesce(debris.term is not null, false) as is_debris,
        unit.term as unit,
        identification.term as identification_term,
        identification.how as identification_how,
        asbestos_type.term as types_term,
        damage.term as damage_term,
        surface.term as surface_term,
        coalesce(element_of_product.term, element_of_room.term) as element,
        accessibility.term as accessibility_term,
        list_filter(
            string_split(coalesce(asbestos_type.term, ''), '+'), lambda one: one not in ('', 'unknown', 'none')
        ) as types,
        try_strptime(
            u.surveyed_on,
            [
                '%Y-%m-%d', '%d/%m/%y', '%d/%m/%Y', '%d-%m-%y', '%d-%m-%Y', '%d.%m.%y', '%d.%m.%Y',
                '%d %b %Y', '%d %B %Y', '%Y-%m-%d %H:%M:%S', '%d/%m/%Y %H:%M', '%d/%m/%Y %H:%M:%S'
            ]
        )::date as day
    from used as u
    inner join properties as p on u.matched_ref = p.property_ref
    inner join source_sheets as s on u.path = s.path and u.sheet is not distinct from s.sheet
    left join recognised_words as survey_type
        on survey_type.field = 'survey_type' and u.survey_type = survey_type.written
    left join recognised_words as place on place.field = 'place' and u.room = place.written
    left join reference.places as in_block
        on p.part in ('common parts', 'non-domestic') and place.term = in_block.place
    left join recognised_words as product on product.field = 'product' and u.product = product.written
    left join recognised_words as debris on debris.field = 'debris' and u.product = debris.written
    left join recognised_words as unit on unit.field = 'extent_unit' and u.extent_unit = unit.written
    left join recognised_words as identification
        on identification.field = 'identification' and u.identification = identification.written
    left join recognised_words as asbestos_type
        on asbestos_type.field = 'asbestos_type' and u.asbestos_types = asbestos_type.written
    left join recognised_words as element_of_product
        on element_of_product.field = 'element' and u.product = element_of_product.written
    left join recognised_words as element_of_room
        on element_of_room.field = 'element' and u.room = element_of_room.written
    left join recognised_words as damage on damage.field = 'damage' and u.damage = damage.written
    left join recognised_words as surface on surface.field = 'surface' and u.surface = surface.written
    left join recognised_words as accessibility
        on accessibility.field = 'accessibility' and u.accessibility = accessibility.written
),

identified as (
    select
        *,
        coalesce(product_term not in ('none', 'not_asbestos'), false) or len(types) > 0 as names_material,
        case
            when len(types) > 0 and identification_term in ('not_detected', 'not_suspect') then 'presumed'
            when names_material and identification_term in ('no_access', 'unclear') then 'presumed'
            when identification_term = 'unclear' and product_term is not null then 'not_suspect'
            when identification_term = 'unclear' then 'no_access'
            when identification_term is not null then identification_term
            when types_term = 'none' then 'not_detected'
            when product_term in ('none', 'not_asbestos') then 'not_suspect'
            when len(types) > 0 and sample_ref is not null then 'identified'
            else 'presumed'
        end as found,
        found in ('identified', 'strongly_presumed', 'presumed') as is_suspect,
        try_cast(
            regexp_extract(
                regexp_replace(lower(extent), '([0-9]),([0-9]{3})', '\1\2'),
                '^(?:approx\.?|circa|ca?\.?|~)?\s*([0-9]+(?:\.[0-9]+)?)\s*[^0-9]*[23]?$',
                1
            )
            as double
        ) as extent_number
    from termed
)

select
    left(sha256(concat_ws('|', sha256, coalesce(sheet, ''), row_number, 1)), 20) as entry_id,
    path,
    sheet,
    row_number,
    matched_ref as property_ref,
    building_ref,
    match_method,
    is_contradicted,
    is_carried,
    survey_type as survey_type_text,
    survey_type_term as survey_type,
    surveyed_on as surveyed_on_text,
    case
        when
            day <= $as_of
            and year(day) >= (
                select value
                from reference.limits
                where name = 'earliest_year'
            )
            then day
    end as surveyed_on,
    surveyor,
    organisation,
    room as room_text,
    coalesce(place, 'other') || ' ' || regexp_extract(coalesce(room, ''), '[0-9]+') as room_key,
    place,
    place_how,
    element,
    product as product_text,
    case
        when product_term in ('none', 'not_asbestos') or product_term is null
            then
                case
                    when
                        is_suspect or (product is not null and found <> 'not_suspect' and product_term is null)
                        then 'other'
                end
        else product_term
    end as product,
    product_term,
    product_how,
    is_debris,
    extent as extent_text,
    case
        when
            extent_number <= (
                select value
                from reference.limits
                where name = 'extent_most'
            )
            then extent_number
    end as extent,
    unit as extent_unit,
    extent_unit as extent_unit_text,
    try_cast(accessibility_term as integer) as accessibility,
    accessibility as accessibility_text,
    found as identification,
    identification as identification_text,
    identification_term,
    identification_how,
    is_suspect,
    types as asbestos_types,
    asbestos_types as types_text,
    types_term,
    sample_ref,
    product_type_score as product_type_score_text,
    try_cast(regexp_extract(product_type_score, '^([0-9]+)(?:\.0+)?$', 1) as integer) as product_type_digit,
    coalesce(damage_score, damage) as damage_text,
    damage_term,
    try_cast(regexp_extract(damage_text, '^([0-9]+)(?:\.0+)?\s*($|[-–:=/(])', 1) as integer) as damage_digit,
    coalesce(surface_treatment_score, surface) as surface_text,
    surface_term,
    try_cast(regexp_extract(surface_text, '^([0-9]+)(?:\.0+)?\s*($|[-–:=/(])', 1) as integer) as surface_digit,
    asbestos_type_score as asbestos_type_score_text,
    try_cast(regexp_extract(asbestos_type_score, '^([0-9]+)(?:\.0+)?$', 1) as integer) as asbestos_type_digit,
    material_score as stated_material_text,
    try_cast(material_score as integer) as stated_material_score,
    priority_score as stated_priority_text,
    try_cast(priority_score as integer) as stated_priority_score,
    recommendation,
    notes
from identified
