-- One row per text of a register's notes that may tell another name of a block or street: a row of one cell, on a sheet
-- of such or near the top of another.
with sheets as (
    select
        path,
        sheet
    from source_sheets
    where kind = 'registers'
),

-- Sheets that are long are no notes.
short as (
    select
        r.path,
        r.sheet
    from raw_rows as r
    inner join sheets as s on r.path = s.path and r.sheet = s.sheet
    inner join reference.limits as l on l.name = 'listing_rows_most'
    group by r.path, r.sheet
    having count(*) <= max(l.value)
),

notes as (
    select
        r.path,
        r.sheet
    from raw_rows as r
    inner join short as s on r.path = s.path and r.sheet = s.sheet
    group by r.path, r.sheet
    having max(len(list_filter(r.cells, lambda cell: trim(cell) <> ''))) = 1
)

select
    r.path,
    trim(array_to_string(r.cells, ' ')) as said
from raw_rows as r
inner join sheets as s on r.path = s.path and r.sheet is not distinct from s.sheet
left join notes as n on r.path = n.path and r.sheet = n.sheet
cross join reference.limits as l
where
    l.name = 'heading_search_rows'
    and (n.path is not null or r.row_number <= l.value)
    and len(list_filter(r.cells, lambda cell: trim(cell) <> '')) = 1
    and regexp_matches(
        array_to_string(r.cells, ' '),
        '\b((was|were|formerly|previously|once|now|also|originally|called|named|known as|used to be|re-?named|became'
        || '|a\.?k\.?a|old|new|former|other|same)\b|=)', 'i'
    )
order by r.path, r.sheet nulls first, r.row_number
