-- One row per row of a register's sheets, of those in which a row has a heading of codes and one of their words:
-- `COND_CD` and `COND_TXT`. A `Post Code` alone makes no such sheet.
-- $rows: up to which row of a sheet headings stand
with headings as (
    select
        r.path,
        r.sheet,
        list_transform(r.cells, lambda cell: trim(regexp_replace(lower(cell), '[^a-z0-9]+', ' ', 'g'))) as cells
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    where
        s.kind = 'registers'
        and r.row_number <= $rows
        and regexp_matches(array_to_string(r.cells, chr(10)), '(?im)[ _](cd|codes?)\W*$')
),

coded_sheets as (
    select distinct
        path,
        sheet
    from headings
    where
        list_has_any(
            list_filter(
                list_transform(cells, lambda cell: regexp_extract(cell, '^(\w.*) (?:cd|codes?)$', 1)),
                lambda stem: stem <> ''
            ),
            list_transform(
                cells,
                lambda cell: regexp_extract(
                    cell, '^(\w.*) (?:txt|text|words?|descr?|description|name|meaning)$', 1
                )
            )
        )
)

select
    r.path,
    r.sheet,
    r.row_number,
    r.cells
from raw_rows as r
inner join coded_sheets as c on r.path = c.path and r.sheet is not distinct from c.sheet
order by r.path, r.sheet nulls first, r.row_number
