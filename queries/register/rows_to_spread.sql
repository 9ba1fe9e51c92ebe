-- One row per row of a register's sheets, codes by their meanings: for what seeks tables written across, and what
-- sheets look up on others.
-- $rows: up to which row of a sheet; null for all
-- $paths: of which files; null for all
select
    r.path,
    r.sheet,
    r.row_number,
    coalesce(d.cells, r.cells) as cells
from raw_rows as r
inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
left join decoded_rows as d on r.path = d.path and r.sheet is not distinct from d.sheet and r.row_number = d.row_number
where
    s.kind = 'registers'
    and ($rows is null or r.row_number <= $rows)
    and ($paths is null or list_contains($paths::varchar[], r.path))
order by r.path, r.sheet nulls first, r.row_number
