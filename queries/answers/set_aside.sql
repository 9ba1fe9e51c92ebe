-- What was handed in and not used, with the property concerned where one was recognised. One row per row, sheet or file
-- set aside.
select
    s.path,
    s.sheet,
    s.row_number,
    s.n_rows,
    s.reason_code,
    s.reason,
    p.property_ref,
    p.building_ref,
    p.address,
    s.row_json
from set_aside_rows as s
left join properties as p on s.property_ref = p.property_ref
order by s.path, s.sheet nulls first, s.row_number nulls first, s.reason_code
