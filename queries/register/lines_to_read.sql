-- The lines of registers that may be no items, each with what reading them needs. One row per row with one or two
-- filled cells, with labels and values, a signature, or with a heading.
with fields as (
    select
        table_id,
        list(field order by position) as fields,
        coalesce(bool_or(field in ('property_ref', 'uprn', 'address')), false) as has_property
    from columns_read
    group by table_id
),

said as (
    select
        table_id,
        list(struct_pack(field := field, value := value) order by nth) as above
    from said_above
    group by table_id
),

tables as (
    select
        h.*,
        f.fields,
        f.has_property,
        coalesce(s.above, []) as above,
        coalesce(h.sheet, '') as sheet_key
    from heading_rows as h
    inner join fields as f on h.table_id = f.table_id
    left join said as s on h.table_id = s.table_id
    where h.kind = 'registers'
),

-- Below a title of places that nobody saw, each may stand with its number and the reason.
unseen as (
    select
        path,
        coalesce(sheet, '') as sheet_key,
        row_number
    from row_shapes
    where
        kind = 'registers'
        and n_filled = 1
        and regexp_matches(
            array_to_string(cells, ''),
            '(?i)\b(not (accessed|accessible|inspected|entered|seen|surveyed)|no access|inaccessible|un-?accessed)\b'
        )
),

thin as (
    select
        r.*,
        coalesce(r.sheet, '') as sheet_key
    from row_shapes as r
    where
        r.kind = 'registers'
        and (
            r.n_filled <= 2
            or (r.n_filled <= 12 and len(list_filter(r.cells, lambda cell: cell like '%:')) > 0)
            -- a home, and values behind labels: `4 Elm Road | Your ref: H4 | Survey date: 1 May 2024`
            or (
                r.n_filled <= 6
                and len(list_filter(r.cells, lambda cell: cell like '%__: %_')) >= r.n_filled - 1
            )
            -- who signed it, and when
            or (
                r.n_filled <= 6
                and regexp_matches(list_filter(r.cells, lambda cell: cell <> '')[1], '(?i)^signed( by)?$')
            )
            or (
                r.n_filled <= 4
                and (r.path, coalesce(r.sheet, ''), r.row_number) in (
                    select (u.path, u.sheet_key, u.row_number + below.nth)
                    from unseen as u
                    cross join range(1, 31) as below (nth)
                )
            )
            or (r.path, coalesce(r.sheet, ''), r.row_number) in (
                select (t.path, t.sheet_key, t.heading_row) from tables as t
            )
        )
)

select
    r.path,
    r.sheet,
    r.row_number,
    t.heading_row = r.row_number as is_heading,
    t.has_property,
    t.above,
    r.cells,
    t.fields,
    a.cells as row_above
from thin as r
asof inner join tables as t on r.path = t.path and r.sheet_key = t.sheet_key and r.row_number >= t.first_row
left join row_shapes as a
    on
        r.path = a.path
        and r.sheet is not distinct from a.sheet
        and r.row_number - 1 = a.row_number
        and a.n_filled > 2
where r.row_number >= t.heading_row
order by r.path, r.sheet nulls first, r.row_number
