-- One row per text near the top of a register's sheet, or of its notes, that may tell another name of a block or
-- street: a row of one cell.
-- $rows: how many rows of a sheet are looked at
select
    r.path,
    trim(array_to_string(r.cells, ' ')) as said
from raw_rows as r
inner join source_sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
where
    s.kind = 'registers'
    and r.row_number <= $rows
    and len(list_filter(r.cells, lambda cell: trim(cell) <> '')) = 1
    and regexp_matches(
        array_to_string(r.cells, ' '),
        '\b((was|were|formerly|previously|once|now|also|originally|called|named|known as|used to be|re-?named|became'
        || '|a\.?k\.?a|old|new|former|other|same)\b|=)', 'i'
    )
order by r.path, r.sheet nulls first, r.row_number
