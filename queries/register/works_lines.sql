-- The job lists under our field names, as written. One row per raw row of a works sheet with a heading.
-- Kept as a step.
select
    r.path,
    r.sheet,
    r.row_number,
    r.cells,
    r.line,
    nullif(trim(r.cells[p.job_ref_at]), '') as job_ref,
    nullif(trim(r.cells[p.property_ref_at]), '') as property_ref,
    nullif(trim(r.cells[p.uprn_at]), '') as uprn,
    nullif(
        array_to_string(
            list_filter(
                list_transform(p.address_at, lambda position: trim(r.cells[position])), lambda cell: cell <> ''
            ), ', '
        ), ''
    ) as address,
    nullif(trim(r.cells[p.postcode_at]), '') as postcode,
    nullif(trim(r.cells[p.raised_on_at]), '') as raised_on,
    nullif(trim(r.cells[p.done_on_at]), '') as done_on,
    nullif(trim(r.cells[p.description_at]), '') as description,
    nullif(trim(r.cells[p.status_at]), '') as status,
    nullif(trim(r.cells[p.work_type_at]), '') as work_type
from table_rows as r
left join table_columns as p on r.table_id = p.table_id
where r.kind = 'works'
