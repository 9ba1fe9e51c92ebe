-- One row per row of a register for which a line above may speak. A line names the property of the rows below it until
-- the next such line; totals and lines that nobody understands end what it said. Rooms and visits hold likewise; a
-- blank ends what was said of a visit.
-- Kept as a step.
with lines_above as (
    select
        *,
        coalesce(sheet, '') as sheet_key,
        coalesce(property_ref, uprn, address) is not null as names_property,
        names_property or line in ('totals', 'one cell') as is_home,
        room is not null or is_home as is_room,
        coalesce(survey_type, surveyed_on, surveyor, organisation) is not null as is_visit
    from thin_lines
),

sheets_with_lines as (
    select
        path,
        sheet_key,
        bool_or(names_property) as names_property
    from lines_above
    where is_room or is_visit
    group by path, sheet_key
),

-- A sheet may say that what it leaves blank is as above.
said_to_repeat as (
    select
        h.path,
        h.sheet_key,
        bool_or(s.repeats_visit) as repeats_visit
    from (
        select distinct
            path,
            coalesce(sheet, '') as sheet_key
        from heading_rows
    ) as h
    inner join blanks_repeated as s on h.path = s.path
    where
        h.sheet_key = s.sheet_key
        -- also a sheet of notes, which has no table
        or (s.path, s.sheet_key) not in (
            select (t.path, coalesce(t.sheet, ''))
            from heading_rows as t
        )
    group by h.path, h.sheet_key
),

-- Rows without a property show that blanks mean as above, where one of them refers to a sample of the rows right above
-- it, in its reference or its result (`S1`, `see sample`), and none has a day of its own.
going_on as (
    select
        b.path,
        b.sheet_key
    from register_rows as b
    left join register_rows as r
        on
            b.path = r.path
            and b.sheet_key = r.sheet_key
            and r.sample_ref = coalesce(
                nullif(regexp_extract(b.sample_ref, '(?i)^\W*(?:as|see|ref|same as|x-?ref)\W+(.*)$', 1), ''),
                if(
                    regexp_matches(b.identification, '(?i)^\W*(?:as|see|same as|x-?ref|cross[ -]ref\w*)\b'),
                    b.sample_ref,
                    null
                )
            )
            and r.row_number between b.row_number - 5 and b.row_number - 1
    where not b.names_property and b.line = 'item'
    group by b.path, b.sheet_key
    having count(r.row_number) > 0 and count(b.surveyed_on) = 0
),

-- Several rows leave out home and day together, and no other row leaves out either: whoever wrote them did not write
-- what the row above says.
left_out as (
    select
        n.path,
        n.sheet_key
    from register_rows as n
    cross join reference.limits as l
    where n.line = 'item' and l.name = 'carry_down_rows_least'
    group by n.path, n.sheet_key
    having
        count(*) filter (where not n.names_property) >= max(l.value)
        and bool_and(n.names_property = (n.surveyed_on is not null))
),

-- Rows over whose cell for the property the one above is merged.
merged as (
    select distinct
        n.path,
        n.sheet_key,
        n.row_number
    from register_rows as n
    inner join table_columns as p on n.table_id = p.table_id
    inner join merged_cells as m
        on
            n.path = m.path
            and n.sheet_key = coalesce(m.sheet, '')
            and n.row_number = m.row_number
            and (
                m.position in (p.property_ref_at, p.uprn_at)
                or list_contains(p.address_at, m.position)
            )
    where n.line = 'item' and not n.names_property
),

sheets as (
    select
        n.path,
        n.sheet_key,
        count(*) filter (where not n.names_property) >= max(l.value) * count(*)
        or coalesce(bool_or(a.names_property), false)
        or coalesce(bool_or(g.path is not null), false)
        or coalesce(bool_or(o.path is not null), false)
        or coalesce(bool_or(t.path is not null), false) as carries_down,
        carries_down and count(*) filter (where n.room is null) > 0 as carries_rooms,
        coalesce(bool_or(t.repeats_visit), false) as repeats_visit
    from register_rows as n
    cross join reference.limits as l
    left join sheets_with_lines as a on n.path = a.path and n.sheet_key = a.sheet_key
    left join said_to_repeat as t on n.path = t.path and n.sheet_key = t.sheet_key
    left join going_on as g on n.path = g.path and n.sheet_key = g.sheet_key
    left join left_out as o on n.path = o.path and n.sheet_key = o.sheet_key
    where n.line = 'item' and l.name = 'carry_down_share_least'
    group by n.path, n.sheet_key
),

-- The rows, and the lines above them, of the sheets where one may say something for those below, by their numbers only.
speaking as (
    select
        n.path,
        n.sheet_key,
        n.row_number,
        true as is_row,
        s.carries_down or m.row_number is not null as carries_down,
        n.names_property
        and (
            s.carries_down
            or (n.path, n.sheet_key) in (select (o.path, o.sheet_key) from merged as o)
        ) as is_own_home,
        s.carries_rooms and n.line = 'item' and n.room is not null as is_own_room,
        s.carries_down
        and n.line = 'item'
        and n.surveyed_on is not null
        and not coalesce(n.is_visit_reinspected, false) as is_own_visit,
        s.repeats_visit,
        false as is_home,
        false as is_room,
        false as is_visit
    from register_rows as n
    inner join sheets as s on n.path = s.path and n.sheet_key = s.sheet_key
    left join merged as m on n.path = m.path and n.sheet_key = m.sheet_key and n.row_number = m.row_number
    where
        s.carries_down
        or (n.path, n.sheet_key) in (select (o.path, o.sheet_key) from merged as o)
        or (n.path, n.sheet_key) in (select (l.path, l.sheet_key) from sheets_with_lines as l)
    union all
    select
        path,
        sheet_key,
        row_number,
        false as is_row,
        false as carries_down,
        false as is_own_home,
        false as is_own_room,
        false as is_own_visit,
        false as repeats_visit,
        is_home,
        is_room,
        is_visit
    from lines_above
    where is_room or is_visit
),

heard as (
    select
        path,
        sheet_key,
        row_number,
        is_row,
        carries_down,
        repeats_visit,
        max(case when is_own_home then row_number end) over so_far as own_home_row,
        max(case when is_own_room then row_number end) over so_far as own_room_row,
        max(case when is_own_visit then row_number end) over so_far as own_visit_row,
        max(case when is_home then row_number end) over so_far as home_row,
        max(case when is_room then row_number end) over so_far as room_row,
        max(case when is_visit then row_number end) over so_far as visit_row
    from speaking
    window so_far as (
        partition by path, sheet_key
        order by row_number
        range between unbounded preceding and current row
    )
),

homes as (
    select
        path,
        sheet_key,
        row_number,
        true as is_own,
        property_ref,
        uprn,
        address,
        postcode,
        survey_type,
        surveyed_on,
        surveyor,
        organisation,
        job_ref
    from register_rows
    where (path, sheet_key, row_number) in (select (h.path, h.sheet_key, h.own_home_row) from heard as h)
    union all
    select
        path,
        sheet_key,
        row_number,
        false as is_own,
        property_ref,
        uprn,
        address,
        postcode,
        survey_type,
        surveyed_on,
        surveyor,
        organisation,
        job_ref
    from lines_above
    where is_home
),

-- A row of a home that says when somebody came speaks for those below it, as does who that was.
visits as (
    select
        path,
        sheet_key,
        row_number,
        survey_type,
        surveyed_on,
        surveyor,
        organisation
    from register_rows
    where (path, sheet_key, row_number) in (
        select (h.path, h.sheet_key, h.own_visit_row)
        from heard as h
        where h.repeats_visit or h.own_visit_row > greatest(h.own_home_row, h.home_row)
    )
),

rooms as (
    select
        path,
        sheet_key,
        row_number,
        room,
        said_property
    from register_rows
    where (path, sheet_key, row_number) in (select (h.path, h.sheet_key, h.own_room_row) from heard as h)
)

select
    h.path,
    h.sheet_key,
    h.row_number,
    h.carries_down,
    greatest(h.own_home_row, h.home_row) as source_row,
    s.property_ref as ref_above,
    s.uprn as uprn_above,
    s.address as address_above,
    s.postcode as postcode_above,
    coalesce(w.survey_type, s.survey_type) as survey_type_above,
    coalesce(w.surveyed_on, s.surveyed_on) as surveyed_on_above,
    coalesce(w.surveyor, s.surveyor) as surveyor_above,
    coalesce(w.organisation, s.organisation) as organisation_above,
    s.job_ref as job_above,
    h.own_room_row,
    o.room as own_room,
    o.said_property as own_room_property,
    h.room_row,
    r.room as line_room,
    coalesce(nullif(v.survey_type, ''), before.survey_type) as visit_type,
    coalesce(nullif(v.surveyed_on, ''), before.surveyed_on) as visit_on,
    coalesce(nullif(v.surveyor, ''), before.surveyor) as visit_by,
    coalesce(nullif(v.organisation, ''), before.organisation) as visit_of,
    coalesce(v.names_property and h.visit_row < h.home_row, false) or before.path is not null as is_visit_of_other
from heard as h
left join homes as s
    on
        h.path = s.path
        and h.sheet_key = s.sheet_key
        and greatest(h.own_home_row, h.home_row) = s.row_number
        and s.is_own = (coalesce(h.own_home_row, 0) >= coalesce(h.home_row, 0))
left join visits as w
    on
        h.path = w.path
        and h.sheet_key = w.sheet_key
        and h.own_visit_row = w.row_number
        and h.own_visit_row > greatest(h.own_home_row, h.home_row)
-- the day of the home before, where the sheet says that a blank is as above
left join visits as before
    on
        h.path = before.path
        and h.sheet_key = before.sheet_key
        and h.own_visit_row = before.row_number
        and h.repeats_visit
        and h.own_visit_row < greatest(h.own_home_row, h.home_row)
        and coalesce(h.visit_row, 0) < h.own_visit_row
left join rooms as o on h.path = o.path and h.sheet_key = o.sheet_key and h.own_room_row = o.row_number
left join lines_above as r on h.path = r.path and h.sheet_key = r.sheet_key and h.room_row = r.row_number
left join lines_above as v on h.path = v.path and h.sheet_key = v.sheet_key and h.visit_row = v.row_number
where h.is_row
