-- One row per row of a register whose cells stand one column too far to the right from a blank one on: its four scores
-- of the material assessment add up to its stated total only one column on, and the blank is in a column that nearly
-- all other rows fill. `cells` has them where they belong; columns that were taken out of another stay.
-- Kept as a step.
with written as (
    select distinct
        table_id,
        heading
    from headings
),

scored as (
    select
        c.table_id,
        min(c.position) filter (where c.field = 'product_type_score') as product_at,
        min(c.position) filter (where c.field = 'damage_score') as damage_at,
        min(c.position) filter (where c.field = 'surface_treatment_score') as surface_at,
        min(c.position) filter (where c.field = 'asbestos_type_score') as type_at,
        min(c.position) filter (where c.field = 'material_score') as total_at,
        max(c.position) filter (where h.heading is not null) as last_at,
        last_at = max(c.position) as is_whole
    from columns_read as c
    left join written as h on c.table_id = h.table_id and c.heading = h.heading
    group by c.table_id
    having product_at + damage_at + surface_at + type_at + total_at is not null
),

tables as (
    select
        s.*,
        h.path,
        coalesce(h.sheet, '') as sheet_key,
        h.heading_row,
        least(s.product_at, s.damage_at, s.surface_at, s.type_at) as first_at
    from scored as s
    inner join heading_rows as h on s.table_id = h.table_id
    where h.kind = 'registers'
),

placed as (
    select
        r.path,
        r.sheet,
        r.row_number,
        r.cells,
        t.* exclude (path, sheet_key, heading_row)
    from (
        select
            *,
            coalesce(sheet, '') as sheet_key
        from row_shapes
        where kind = 'registers' and n_filled > 5
    ) as r
    asof inner join tables as t on r.path = t.path and r.sheet_key = t.sheet_key and r.row_number > t.heading_row
),

added as (
    select
        *,
        try_cast(cells[product_at] as double) + try_cast(cells[damage_at] as double)
        + try_cast(cells[surface_at] as double) + try_cast(cells[type_at] as double)
        - try_cast(cells[total_at] as double) as beyond,
        [
            try_cast(cells[product_at + 1] as double),
            try_cast(cells[damage_at + 1] as double),
            try_cast(cells[surface_at + 1] as double),
            try_cast(cells[type_at + 1] as double)
        ] as scores_beyond
    from placed
),

-- What each column is filled in, among the rows whose scores add up as they stand.
filled_columns as (
    select
        table_id,
        unnest(range(1, first_at)) as position,
        unnest(list_transform(range(1, first_at), lambda nth: cells[nth] <> '')) as is_filled
    from added
    where beyond = 0
),

always as (
    select
        table_id,
        position
    from filled_columns
    group by table_id, position
    having count(*) >= 3 and count(*) filter (where is_filled) >= 0.9 * count(*)
),

slipped as (
    select
        a.path,
        a.sheet,
        a.row_number,
        a.cells,
        a.last_at,
        a.is_whole,
        min(w.position) as blank_at
    from added as a
    inner join always as w on a.table_id = w.table_id and a.cells[w.position] = ''
    where
        a.beyond is distinct from 0
        and list_min(a.scores_beyond) >= 0
        and list_max(a.scores_beyond) <= 3
        and len(list_filter(a.scores_beyond, lambda score: score is null)) = 0
        and a.scores_beyond[1] + a.scores_beyond[2] + a.scores_beyond[3] + a.scores_beyond[4]
        = try_cast(a.cells[a.total_at + 1] as double)
    group by all
)

select
    path,
    sheet,
    row_number,
    case
        when is_whole then list_concat(list_slice(cells, 1, blank_at - 1), list_slice(cells, blank_at + 1, len(cells)))
        else
            list_concat(
                list_slice(cells, 1, blank_at - 1),
                list_slice(cells, blank_at + 1, last_at),
                [''],
                list_slice(cells, last_at + 1, len(cells))
            )
    end as cells
from slipped
