-- What people decided about which item a row is about, in corrections/links files. One row per row below a heading.
-- Kept as a step.
with written as (
    select
        r.path,
        r.sheet,
        r.row_number,
        nullif(trim(r.cells[p.link_path_at]), '') as link_path,
        coalesce(trim(r.cells[p.link_sheet_at]), '') as link_sheet,
        try_cast(trim(r.cells[p.link_row_at]) as integer) as link_row,
        coalesce(try_cast(trim(r.cells[p.link_part_at]) as integer), 1) as link_part,
        nullif(trim(r.cells[p.item_path_at]), '') as item_path,
        coalesce(trim(r.cells[p.item_sheet_at]), '') as item_sheet,
        try_cast(trim(r.cells[p.item_row_at]) as integer) as item_row,
        coalesce(try_cast(trim(r.cells[p.item_part_at]) as integer), 1) as item_part
    from sundry_rows as r
    inner join table_columns as p on r.table_id = p.table_id
    where
        r.kind = 'corrections'
        and r.line <> 'layout'
        and regexp_matches(r.path, '^corrections/(.*/)?links[^/]*$')
),

met as (
    select
        w.*,
        lower(w.item_path) = 'new' as is_new,
        a.entry_id,
        a.property_ref,
        b.entry_id as same_as,
        b.property_ref as same_property_ref
    from written as w
    left join readings as a
        on
            w.link_path = a.path
            and w.link_sheet = coalesce(a.sheet, '')
            and w.link_row = a.row_number
            and w.link_part = a.part
    left join readings as b
        on
            w.item_path = b.path
            and w.item_sheet = coalesce(b.sheet, '')
            and w.item_row = b.row_number
            and w.item_part = b.part
),

judged as (
    select
        *,
        case
            when link_path is null or link_row is null then 'correction_names_nothing'
            when item_path is null or (not is_new and item_row is null) then 'correction_without_answer'
            when entry_id is null or (not is_new and same_as is null) then 'correction_meets_nothing'
            when property_ref <> same_property_ref then 'correction_of_two_properties'
        end as fault
    from met
)

select
    path,
    sheet,
    row_number,
    entry_id,
    same_as,
    coalesce(is_new, false) as is_new,
    case
        when fault is not null then fault
        when
            row_number() over (
                partition by entry_id, fault is null
                order by path desc, sheet desc, row_number desc
            ) > 1
            then 'correction_meets_nothing'
    end as reason_code,
    concat_ws(', ', link_path, nullif(link_sheet, ''), link_row, item_path, nullif(item_sheet, ''), item_row) as value
from judged
