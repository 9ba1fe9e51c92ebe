-- Every distinct word that a vocabulary field holds. One row per field and word as written.
-- Kept as a step.
with written as (
    unpivot (
        select
            product,
            product as debris,
            room as place,
            damage,
            surface,
            asbestos_types as asbestos_type,
            identification,
            identification as type_in_result,
            survey_type,
            extent_unit,
            accessibility,
            material_band
        from register_lines
        where line = 'item'
    )
    on columns(*)
    into name field value written
    union all by name
    unpivot (
        select product as element
        from register_lines
        where line = 'item'
        union all by name
        select room as element
        from register_lines
        where line = 'item'
    )
    on element
    into name field value written
    union all by name
    -- what else may say the place: a thing within the room; a shed, of what stands outside
    unpivot (
        select position as place_beside
        from register_lines
        where line = 'item' and room is not null
        union all by name
        select product as place_beside
        from register_lines
        where
            line = 'item'
            and regexp_matches(room, '^\W*(outside|ext|external(ly)?|exterior|gardens?|yard|grounds?)\W*$', 'i')
    )
    on place_beside
    into name field value written
    union all by name
    unpivot (
        select
            dwelling_type,
            part,
            tenure,
            construction
        from stock_lines
        where line = 'item'
    )
    on dwelling_type, part, tenure, construction
    into name field value written
    union all by name
    unpivot (
        select status as job_status
        from works_lines
        where line = 'item'
    )
    on job_status
    into name field value written
    union all by name
    unpivot (
        select
            product,
            room as place
        from sample_lines
        where line = 'item'
    )
    on product, place
    into name field value written
)

select
    field,
    written,
    count(*) as n_rows
from written
group by field, written
