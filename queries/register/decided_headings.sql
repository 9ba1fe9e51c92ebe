-- One row per answer. What people decided about headings, in corrections/headings.csv: file, sheet, heading, and the
-- field it means.
with first_rows as (
    select
        path,
        min(row_number) as row_number
    from raw_rows
    where path = 'corrections/headings.csv'
    group by path
),

columns_named as (
    select
        f.path,
        f.row_number,
        list_transform(r.cells, lambda cell: lower(trim(cell))) as names
    from first_rows as f
    inner join raw_rows as r on f.path = r.path and f.row_number = r.row_number
)

select
    trim(r.cells[list_position(c.names, 'path')]) as path,
    coalesce(trim(r.cells[list_position(c.names, 'sheet')]), '') as sheet,
    trim(r.cells[list_position(c.names, 'heading')]) as heading,
    lower(trim(r.cells[list_position(c.names, 'field')])) as field
from columns_named as c
inner join raw_rows as r on c.path = r.path and c.row_number < r.row_number
where
    trim(r.cells[list_position(c.names, 'field')]) <> ''
    and trim(r.cells[list_position(c.names, 'heading')]) <> ''
order by r.row_number
