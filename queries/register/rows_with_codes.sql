-- One row per row of a register's sheets, of those in which a row has headings of codes and of their words.
with coded_sheets as (
    select distinct
        r.path,
        r.sheet
    from raw_rows as r
    inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
    where
        s.kind = 'registers'
        and len(list_filter(r.cells, lambda cell: regexp_matches(cell, '(?i)^\s*\w.*[ _](cd|codes?)\s*$'))) > 0
)

select
    r.path,
    r.sheet,
    r.row_number,
    r.cells
from raw_rows as r
inner join coded_sheets as c on r.path = c.path and r.sheet is not distinct from c.sheet
order by r.path, r.sheet nulls first, r.row_number
