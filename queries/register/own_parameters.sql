-- One row per row of a parameters sheet below its heading. The landlord's own parameters; a reason stands beside the
-- rows that cannot be used.
with valued as (
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
        nullif(trim(r.cells[p.archetype_at]), '') as archetype,
        nullif(lower(trim(r.cells[p.part_at])), '') as part,
        nullif(lower(trim(r.cells[p.place_at])), '') as place,
        try_cast(nullif(trim(r.cells[p.point_at]), '') as double) as point,
        try_cast(nullif(trim(r.cells[p.low_at]), '') as double) as low,
        try_cast(nullif(trim(r.cells[p.high_at]), '') as double) as high,
        try_cast(r.cells[p.n_at] as double) as n,
        coalesce(nullif(trim(r.cells[p.low_at]), ''), nullif(trim(r.cells[p.high_at]), '')) is not null as says_range,
        concat_ws(
            ', ', nullif(trim(r.cells[p.point_at]), ''), nullif(trim(r.cells[p.low_at]), ''),
            nullif(trim(r.cells[p.high_at]), '')
        ) as said_values
    from sundry_rows as r
    inner join table_columns as p on r.table_id = p.table_id
    where r.kind = 'parameters' and r.line <> 'layout'
),

keyed as (
    select
        v.* exclude (
            said_values, work_type, dwelling, area, contact_code, product, task, control, archetype, part, place
        ),
        case when contains(n.keys, 'work_type') then v.work_type end as work_type,
        case when contains(n.keys, 'dwelling') then v.dwelling end as dwelling,
        case when contains(n.keys, 'area') then v.area end as area,
        case when contains(n.keys, 'contact_code') then v.contact_code end as contact_code,
        case when contains(n.keys, 'product') then v.product end as product,
        case when contains(n.keys, 'task') then v.task end as task,
        case when contains(n.keys, 'control') then v.control end as control,
        case when contains(n.keys, 'archetype') then v.archetype end as archetype,
        case when contains(n.keys, 'part') then v.part end as part,
        case when contains(n.keys, 'place') then v.place end as place,
        v.point between n.least and n.most as is_in_bounds,
        printf('%s; expected %.15g to %.15g', v.said_values, n.least::double, n.most::double) as not_expected,
        n.has_range
    from valued as v
    left join reference.parameter_names as n on v.name = n.name
),

archetypes as (
    select distinct
        p.part,
        p.archetype
    from properties as p
    inner join reference.model_values as m on m.name = 'first_year_without' and coalesce(p.oldest_year, 0) < m.point
),

checked as (
    select
        *,
        case
            when name = 'rate'
                then
                    exists (
                        from reference.rates as d
                        where keyed.work_type = d.work_type and (keyed.dwelling is null or keyed.dwelling = d.dwelling)
                    )
                    and (
                        area is null
                        or exists (
                            from properties as p
                            where keyed.area = p.area
                        )
                    )
            when name in ('contact', 'minutes')
                then
                    exists (
                        from reference.contacts as d
                        where
                            keyed.work_type = d.work_type
                            and keyed.contact_code = d.contact_code
                            and keyed.task = d.task
                    )
            when name in ('release', 'measurement')
                then
                    exists (
                        from reference.release as d
                        where keyed.product = d.product and keyed.task = d.task and keyed.control = d.control
                    )
            when name in ('positive share', 'usual reach', 'usual extent', 'usual room extent')
                then
                    exists (
                        from reference.contact_codes as d
                        where keyed.contact_code = d.contact_code
                    )
            when name = 'presence'
                then
                    exists (
                        from reference.usual_places as d
                        inner join archetypes as p on d.part = p.part
                        where
                            keyed.contact_code = d.contact_code
                            and (keyed.part is null or keyed.part = p.part)
                            and (keyed.archetype is null or keyed.archetype = p.archetype)
                    )
            when name = 'place share'
                then
                    exists (
                        from reference.place_shares as d
                        where keyed.part = d.part and keyed.place = d.place and keyed.contact_code = d.contact_code
                    )
            else has_range is not null
        end as is_known,
        coalesce(is_in_bounds, false)
        and (
            not says_range or not has_range
            or coalesce(low > 0 and low <= point and high >= point and isfinite(high), false)
        ) as is_possible,
        row_number() over (
            partition by
                name, work_type, dwelling, area, contact_code, product, task, control, archetype, part, place
            order by path, sheet, row_number
        ) as nth
    from keyed
)

select
    * exclude (is_known, is_possible, nth, not_expected, says_range, is_in_bounds, has_range),
    case
        when not is_known then 'unknown_parameter'
        when not is_possible then 'parameter_out_of_range'
        when nth > 1 and name <> 'measurement' then 'duplicate_row'
    end as reason_code,
    case reason_code
        when 'unknown_parameter'
            then
                concat_ws(
                    ', ', name, work_type, dwelling, area, contact_code, product, task, control, archetype, part, place
                )
        when 'parameter_out_of_range' then not_expected
        when 'duplicate_row' then 'another row of parameters/'
    end as value
from checked
