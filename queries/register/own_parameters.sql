-- One row per row of a parameters sheet below its heading. The landlord's own parameters; a reason stands beside the
-- rows that cannot be used.
with positions as (
    from (
        pivot headings
        on field in (
            'name', 'work_type', 'dwelling', 'area', 'contact_code', 'product', 'task', 'control', 'point',
            'low', 'high', 'n'
        )
        using max(position) as at
        group by path, sheet
    )
),

valued as (
    select
        r.path,
        r.sheet,
        r.row_number,
        lower(trim(r.cells[p.name_at])) as name,
        nullif(lower(trim(r.cells[p.work_type_at])), '') as work_type,
        nullif(lower(trim(r.cells[p.dwelling_at])), '') as dwelling,
        nullif(trim(r.cells[p.area_at]), '') as area,
        nullif(upper(trim(r.cells[p.contact_code_at])), '') as contact_code,
        nullif(lower(trim(r.cells[p.product_at])), '') as product,
        nullif(lower(trim(r.cells[p.task_at])), '') as task,
        coalesce(nullif(lower(trim(r.cells[p.control_at])), ''), 'uncontrolled') as control,
        try_cast(r.cells[p.point_at] as double) as point,
        try_cast(r.cells[p.low_at] as double) as low,
        try_cast(r.cells[p.high_at] as double) as high,
        try_cast(r.cells[p.n_at] as double) as n,
        concat_ws(', ', r.cells[p.point_at], r.cells[p.low_at], r.cells[p.high_at]) as said_values
    from raw_rows as r
    inner join heading_rows as h on r.path = h.path and r.sheet is not distinct from h.sheet
    inner join positions as p on r.path = p.path and r.sheet is not distinct from p.sheet
    where h.kind = 'parameters' and r.row_number > h.heading_row
),

checked as (
    select
        *,
        case
            when name = 'rate'
                then
                    exists (
                        from reference.rates as d
                        where
                            valued.work_type = d.work_type and (valued.dwelling is null or valued.dwelling = d.dwelling)
                    )
            when name = 'contact'
                then
                    exists (
                        from reference.contacts as d
                        where
                            valued.work_type = d.work_type
                            and valued.contact_code = d.contact_code
                            and valued.task = d.task
                    )
            when name in ('release', 'measurement')
                then
                    exists (
                        from reference.release as d
                        where valued.product = d.product and valued.task = d.task and valued.control = d.control
                    )
            when name = 'positive share'
                then
                    exists (
                        from reference.contact_codes as d
                        where valued.contact_code = d.contact_code
                    )
            else false
        end as is_known,
        case
            when point is null then false
            when name in ('release', 'measurement') then point > 0
            when name = 'rate' then point >= 0
            else point between 0 and 1
        end
        and coalesce(low between 0 and point, true)
        and coalesce(high >= point, true)
        and (name <> 'release' or (low is null) = (high is null)) as is_possible,
        row_number() over (
            partition by name, work_type, dwelling, area, contact_code, product, task, control
            order by path, sheet, row_number
        ) as nth
    from valued
)

select
    * exclude (is_known, is_possible, nth, said_values),
    case
        when not is_known then 'unknown_parameter'
        when not is_possible then 'parameter_out_of_range'
        when nth > 1 and name <> 'measurement' then 'duplicate_row'
    end as reason_code,
    case reason_code
        when 'unknown_parameter' then concat_ws(', ', name, work_type, dwelling, contact_code, product, task, control)
        when 'parameter_out_of_range' then said_values
        when 'duplicate_row' then 'another row of parameters/'
    end as value
from checked
