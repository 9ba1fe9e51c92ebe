-- What was handed in and not used. One row per row, sheet or file set aside.
select
    path,
    sheet,
    row_number,
    n_rows,
    reason_code,
    reason,
    row_json
from set_aside_rows
order by path, sheet nulls first, row_number nulls first, reason_code
