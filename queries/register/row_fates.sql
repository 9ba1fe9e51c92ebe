-- One row per raw row of a register sheet with a heading. What becomes of each register row; one with several items
-- side by side is used if any of its lines is, and set aside for what its first line is.
-- Kept as a step.
with lines as (
    select
        w.source_row,
        f.*
    from register_fates as f
    inner join spread_rows as w
        on f.path = w.path and f.sheet is not distinct from w.sheet and f.row_number = w.row_number
)

select
    path,
    sheet,
    source_row as row_number,
    bool_and(is_layout) as is_layout,
    case
        when not bool_or(not is_layout and reason_code is null)
            then arg_min(reason_code, row_number) filter (where not is_layout)
    end as reason_code,
    arg_min(value, row_number) filter (where not is_layout) as value,
    arg_min_null(property_ref, row_number) filter (where not is_layout) as property_ref
from lines
group by path, sheet, source_row
union all
select
    path,
    sheet,
    row_number,
    is_layout,
    reason_code,
    value,
    property_ref
from register_fates
where (path, coalesce(sheet, '')) not in (
    select (w.path, coalesce(w.sheet, ''))
    from spread_rows as w
)
