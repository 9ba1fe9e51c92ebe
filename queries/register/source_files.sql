-- What was handed in and what became of it; rows_read = rows_used + rows_set_aside. One row per file, or per
-- sheet of a workbook.
with fates as (
    select
        path,
        sheet,
        is_layout,
        reason_code
    from row_fates
    union all
    select
        path,
        sheet,
        false as is_layout,
        reason_code
    from stock_readings
    union all
    select
        path,
        sheet,
        false as is_layout,
        reason_code
    from jobs_read
    union all
    select
        path,
        sheet,
        false as is_layout,
        reason_code
    from correction_fates
    union all
    select
        path,
        sheet,
        false as is_layout,
        min(reason_code) as reason_code
    from sample_fates
    group by path, sheet, row_number
    union all
    select
        path,
        sheet,
        false as is_layout,
        reason_code
    from own_parameters
    union all
    select
        path,
        sheet,
        true as is_layout,
        null as reason_code
    from sundry_rows
    where
        kind <> 'registers'
        and line = 'layout'
        and path not in ('corrections/headings.csv', 'corrections/terms.csv')
    union all
    select
        path,
        null as sheet,
        false as is_layout,
        reason_code
    from place_features
    where row_number is not null
    union all
    select
        path,
        sheet,
        row_number = min(row_number) over (partition by path, sheet) as is_layout,
        null as reason_code
    from raw_rows
    where path in ('corrections/headings.csv', 'corrections/terms.csv')
    qualify is_layout or path = 'corrections/headings.csv'
    union all
    select
        r.path,
        r.sheet,
        false as is_layout,
        'no_table' as reason_code
    from raw_rows as r
    where
        r.path not in ('corrections/headings.csv', 'corrections/terms.csv')
        and not exists (
            from heading_rows as h
            where r.path = h.path and r.sheet is not distinct from h.sheet
        )
)

select
    s.path,
    s.sheet,
    s.kind,
    s.sha256,
    s.is_hidden,
    (count(*) filter (where not f.is_layout))::integer as rows_read,
    (count(*) filter (where not f.is_layout and f.reason_code is null))::integer as rows_used,
    (count(*) filter (where not f.is_layout and f.reason_code is not null))::integer as rows_set_aside,
    (count(*) filter (where f.is_layout))::integer as rows_layout
from source_sheets as s
left join fates as f on s.path = f.path and s.sheet is not distinct from f.sheet
group by s.path, s.sheet, s.kind, s.sha256, s.is_hidden
