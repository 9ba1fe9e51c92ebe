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
        select product_beside as product
        from register_lines
        where line = 'item'
    )
    on product
    into name field value written
    union all by name
    -- the material of a thing that the column of materials names: `Water tank`, `cement`
    unpivot (
        select position as material_beside
        from register_lines
        where line = 'item' and product is not null
    )
    on material_beside
    into name field value written
    union all by name
    -- what a material column says instead of a material
    unpivot (
        select product as result_in_product
        from register_lines
        where line = 'item' and coalesce(identification, '-') = '-'
    )
    on result_in_product
    into name field value written
    union all by name
    -- what a result says of one layer
    unpivot (
        select
            answer as identification,
            answer as type_in_result,
            answer as asbestos_type
        from (
            select
                unnest(
                    list_concat(
                        list_transform(layers_answered(said), lambda one: trim(one[2])),
                        answers_in_order(said)
                    )
                ) as answer
            from (
                select identification as said
                from register_lines
                where line = 'item'
                union
                select asbestos_types as said
                from register_lines
                where line = 'item'
                union
                select notes as said
                from register_lines
                -- only those that name a layer and what it has, and to look at once is cheap
                where line = 'item' and regexp_matches(notes, '(?i)\b(adh|bit|mastic|backing|tile|felt)')
            ) as told
            where len(layers_answered(said)) > 1 or len(answers_in_order(said)) > 1
        ) as answered
    )
    on identification, type_in_result, asbestos_type
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
    -- what else may say the place: a thing within the room; a shed, of what stands outside; a cupboard, of its lining
    unpivot (
        select position as place_beside
        from register_lines
        where line = 'item' and room is not null
        union all by name
        select product as place_beside
        from register_lines
        where
            line = 'item'
            and (
                regexp_matches(room, '^\W*(outside|ext|external(ly)?|exterior|gardens?|yard|grounds?)\W*$', 'i')
                or (
                    position is null
                    and room is not null
                    and regexp_matches(product, '\b(cup\w*|cpb?d|cbd|cubd)\b', 'i')
                )
            )
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
        where line = 'item' and part is null
    )
    on product, place
    into name field value written
),

-- What stands beside a result on the sheet of the items says more than a material or a place: nobody is asked of it.
beside_results as (
    unpivot (
        select
            product,
            room as place
        from sample_lines
        where part is not null
    )
    on product, place
    into name field value written
)

select
    field,
    written,
    sum(n_rows)::bigint as n_rows
from (
    select
        field,
        written,
        1 as n_rows
    from written
    union all
    select
        field,
        written,
        0 as n_rows
    from beside_results
) as counted
group by field, written
