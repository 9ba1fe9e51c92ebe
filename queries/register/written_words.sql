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
            survey_type,
            extent_unit,
            accessibility
        from register_lines
        where line = 'item'
    )
    on product, debris, place, damage, surface, asbestos_type, identification, survey_type, extent_unit, accessibility
    into name field value written
    union all by name
    unpivot (
        select
            dwelling_type,
            part
        from stock_lines
        where not is_layout
    )
    on dwelling_type, part
    into name field value written
)

select
    field,
    written,
    count(*) as n_rows
from written
group by field, written
