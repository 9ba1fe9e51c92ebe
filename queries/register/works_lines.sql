-- The job lists under our field names, as written. One row per row of a works sheet below its heading.
-- Kept as a step.
select
    r.path,
    r.sheet,
    r.row_number,
    r.line,
    nullif(r.cells[p.job_ref_at], '') as job_ref,
    nullif(r.cells[p.property_ref_at], '') as property_ref,
    nullif(ltrim(r.cells[p.uprn_at], ''''), '') as uprn,
    nullif(array_to_string(filled(r.cells, p.address_at), ', '), '') as address,
    nullif(r.cells[p.postcode_at], '') as postcode,
    nullif(r.cells[p.raised_on_at], '') as raised_on,
    nullif(r.cells[p.done_on_at], '') as done_on,
    nullif(r.cells[p.trade_at], '') as trade,
    nullif(r.cells[p.description_at], '') as description,
    nullif(r.cells[p.status_at], '') as status,
    nullif(r.cells[p.work_type_at], '') as work_type
from table_rows as r
left join table_columns as p on r.table_id = p.table_id
where r.kind = 'works' and r.line <> 'layout'
