-- The job lists under our field names, as written. One row per raw row of a works sheet with a heading.
-- Kept as a step.
with positions as (
    from (
        pivot headings
        on field in (
            'job_ref', 'property_ref', 'uprn', 'address', 'postcode', 'raised_on', 'done_on', 'trade', 'description',
            'status', 'work_type'
        )
        using max(position) as at
        group by path, sheet
    )
)

select
    r.path,
    r.sheet,
    r.row_number,
    r.cells,
    r.row_number <= h.heading_row as is_layout,
    nullif(trim(r.cells[p.job_ref_at]), '') as job_ref,
    nullif(trim(r.cells[p.property_ref_at]), '') as property_ref,
    nullif(trim(r.cells[p.uprn_at]), '') as uprn,
    nullif(trim(r.cells[p.address_at]), '') as address,
    nullif(trim(r.cells[p.postcode_at]), '') as postcode,
    nullif(trim(r.cells[p.raised_on_at]), '') as raised_on,
    nullif(trim(r.cells[p.done_on_at]), '') as done_on,
    nullif(trim(r.cells[p.description_at]), '') as description,
    nullif(trim(r.cells[p.status_at]), '') as status,
    nullif(trim(r.cells[p.work_type_at]), '') as work_type
from raw_rows as r
inner join heading_rows as h on r.path = h.path and r.sheet is not distinct from h.sheet
inner join positions as p on r.path = p.path and r.sheet is not distinct from p.sheet
where h.kind = 'works'
