-- One row per item of a register over which cells of a row above are merged: its cells, with what these say where it is
-- blank. What names the property is carried down elsewhere. A row without a material and room of its own is a visit to
-- the item above: it has its amount, and `as before` is what the row above says.
-- Kept as a step.
with runs as (
    select
        path,
        coalesce(sheet, '') as sheet_key,
        position,
        row_number,
        row_number - row_number() over (partition by path, sheet, position order by row_number) as run
    from merged_cells
),

begun as (
    select
        path,
        sheet_key,
        position,
        row_number,
        min(row_number) over (partition by path, sheet_key, position, run) - 1 as first_row
    from runs
),

items as (
    select
        r.path,
        coalesce(r.sheet, '') as sheet_key,
        r.row_number,
        r.table_id,
        r.cells
    from table_rows as r
    where
        r.kind = 'registers'
        and r.line = 'item'
        and (r.path, coalesce(r.sheet, '')) in (
            select (b.path, b.sheet_key)
            from begun as b
        )
),

places as (
    select
        table_id,
        list(position order by position) as places_at
    from columns_read
    where field in ('room', 'position')
    group by table_id
),

covered as (
    select
        i.path,
        i.sheet_key,
        i.row_number,
        b.first_row,
        b.position,
        c.field,
        t.cells[b.position] as said,
        coalesce(len(filled(i.cells, p.places_at)), 0) = 0 as has_no_place
    from items as i
    inner join begun as b on i.path = b.path and i.sheet_key = b.sheet_key and i.row_number = b.row_number
    inner join columns_read as c on i.table_id = c.table_id and b.position = c.position
    inner join items as t
        on i.path = t.path and i.sheet_key = t.sheet_key and b.first_row = t.row_number and i.table_id = t.table_id
    left join places as p on i.table_id = p.table_id
    where
        c.field not in ('property_ref', 'uprn', 'address', 'postcode')
        -- a row that says nothing by itself is the rest of the one above
        and len(list_filter(i.cells, lambda cell: cell <> '')) > 0
),

of_rows as (
    select
        path,
        sheet_key,
        row_number,
        max(first_row) filter (where field = 'product' and has_no_place) as item_row,
        list(struct_pack(at := position, said := said) order by position) filter (where field <> 'extent') as said,
        list(struct_pack(at := position, said := said) order by position) filter (where field = 'extent') as amounts
    from covered
    group by path, sheet_key, row_number
),

visits_before as (
    select
        o.path,
        o.sheet_key,
        o.row_number,
        list(i.cells order by i.row_number desc) as visits
    from of_rows as o
    inner join items as i
        on
            o.path = i.path
            and o.sheet_key = i.sheet_key
            and i.row_number between greatest(o.item_row, o.row_number - 10) and o.row_number - 1
    where o.item_row is not null
    group by o.path, o.sheet_key, o.row_number
)

select
    i.path,
    i.sheet_key,
    i.row_number,
    list_transform(
        range(1, len(i.cells) + 1),
        lambda position: coalesce(
            case
                when is_unchanged(i.cells[position])
                    then
                        list_filter(
                            list_transform(v.visits, lambda cells: cells[position]),
                            lambda cell: cell <> '' and not is_unchanged(cell)
                        )[1]
            end,
            nullif(i.cells[position], ''),
            list_filter(
                list_concat(o.said, if(o.item_row is null, null, o.amounts)),
                lambda one: struct_extract(one, 'at') = position
            )[1].said,
            ''
        )
    ) as cells
from of_rows as o
inner join items as i on o.path = i.path and o.sheet_key = i.sheet_key and o.row_number = i.row_number
left join visits_before as v on o.path = v.path and o.sheet_key = v.sheet_key and o.row_number = v.row_number
