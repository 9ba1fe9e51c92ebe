-- The top of each sheet, where its heading is looked for. One row per raw row among the first of a sheet.
-- $rows: how many rows of each sheet
with numbered as (
    select
        raw_rows.path,
        raw_rows.sheet,
        source_sheets.kind,
        raw_rows.row_number,
        raw_rows.cells,
        row_number() over (
            partition by raw_rows.path, raw_rows.sheet
            order by raw_rows.row_number
        ) as nth
    from raw_rows
    inner join source_sheets
        on
            raw_rows.path = source_sheets.path
            and raw_rows.sheet is not distinct from source_sheets.sheet
)

select * exclude (nth)
from numbered
where nth <= $rows
order by path, sheet nulls first, kind, row_number
