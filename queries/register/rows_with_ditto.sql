-- The rows of registers in whose sheet a mark repeats the cell above. One row per raw row of such a sheet.
with marked as (
    select distinct
        path,
        sheet
    from row_shapes
    where
        kind = 'registers'
        and len(list_filter(
            cells,
            lambda cell: cell in (
                '"', '''''', '“', '”', '〃', '″', ',,', '-"-', 'ditto', 'Ditto', 'DITTO', 'do', 'Do', 'DO', 'do.', 'Do.',
                '-do-', '- do -', 'as above', 'As above', 'As Above', 'AS ABOVE'
            )
        )) > 0
)

select
    r.path,
    r.sheet,
    r.row_number,
    r.cells
from row_shapes as r
inner join marked as m on r.path = m.path and r.sheet is not distinct from m.sheet
order by r.path, r.sheet nulls first, r.row_number
