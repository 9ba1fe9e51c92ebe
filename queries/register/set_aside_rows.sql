-- What was handed in and not used. One row per row set aside, or per file or sheet set aside whole.
with fates as (
    select
        path,
        sheet,
        row_number,
        reason_code,
        value,
        property_ref
    from row_fates
    where reason_code is not null
    union all
    select
        path,
        sheet,
        row_number,
        reason_code,
        value,
        property_ref
    from stock_readings
    where reason_code is not null
    union all
    select
        path,
        sheet,
        row_number,
        reason_code,
        value,
        property_ref
    from jobs_read
    where reason_code is not null
    union all
    select
        path,
        sheet,
        row_number,
        reason_code,
        value,
        null as property_ref
    from correction_fates
    where reason_code is not null
    union all
    select
        path,
        sheet,
        row_number,
        min(reason_code) as reason_code,
        string_agg(value, '; ' order by sample_id) filter (where reason_code is not null) as value,
        min(property_ref) as property_ref
    from sample_fates
    where reason_code is not null
    group by path, sheet, row_number
    union all
    select
        path,
        sheet,
        row_number,
        reason_code,
        value,
        null as property_ref
    from own_parameters
    where reason_code is not null
    union all
    select
        path,
        null as sheet,
        row_number,
        reason_code,
        value,
        null as property_ref
    from place_features
    where reason_code is not null
    union all
    select
        path,
        null as sheet,
        null as row_number,
        reason_code,
        value,
        null as property_ref
    from refused_files
    union all
    select
        s.path,
        s.sheet,
        null as row_number,
        'not_used_yet' as reason_code,
        s.kind as value,
        null as property_ref
    from source_sheets as s
    where
        s.kind = 'corrections'
        and s.path not in ('corrections/headings.csv', 'corrections/terms.csv')
        and s.path not in (
            select path
            from refused_files
        )
        and not exists (
            from heading_rows as h
            where s.path = h.path and s.sheet is not distinct from h.sheet and h.kind = 'corrections'
        )
    union all
    select
        s.path,
        s.sheet,
        null as row_number,
        'no_table' as reason_code,
        l.value::integer::varchar as value,
        null as property_ref
    from source_sheets as s
    cross join reference.limits as l
    where
        l.name = 'heading_search_rows'
        and s.kind in ('stock', 'registers', 'samples', 'works', 'parameters')
        and not exists (
            from refused_files as f
            where s.path = f.path
        )
        and not exists (
            from heading_rows as h
            where s.path = h.path and s.sheet is not distinct from h.sheet
        )
),

headless as (
    select
        r.path,
        r.sheet,
        count(*) as n_rows
    from raw_rows as r
    where
        not exists (
            from heading_rows as h
            where r.path = h.path and r.sheet is not distinct from h.sheet
        )
    group by r.path, r.sheet
)

select
    f.path,
    f.sheet,
    f.row_number,
    f.reason_code,
    replace(r.reason, '{value}', coalesce(f.value, '')) as reason,
    to_json(raw_rows.cells) as row_json,
    (case when f.row_number is null then coalesce(headless.n_rows, 0) else 1 end)::integer as n_rows,
    f.property_ref
from fates as f
inner join reference.set_aside_reasons as r on f.reason_code = r.reason_code
left join raw_rows
    on f.path = raw_rows.path and f.sheet is not distinct from raw_rows.sheet and f.row_number = raw_rows.row_number
left join headless
    on f.row_number is null and f.path = headless.path and f.sheet is not distinct from headless.sheet
where  -- a sheet without any row holds nothing that could be set aside, but for a file that is nothing else
    f.reason_code <> 'no_table'
    or headless.n_rows > 0
    or f.path not in (
        select held.path
        from raw_rows as held
    )
