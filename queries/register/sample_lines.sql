-- One row per row of a samples sheet below its heading. The laboratories' results under our field names, as written,
-- with what stands above the table or, where a table names the property on some rows only, above the row.
-- Kept as a step.
with said as (
    select
        table_id,
        max(value) filter (where field = 'property_ref') as property_ref,
        max(value) filter (where field = 'uprn') as uprn,
        max(value) filter (where field = 'address') as address,
        max(value) filter (where field = 'postcode') as postcode,
        max(value) filter (where field = 'surveyed_on') as surveyed_on,
        max(value) filter (where field = 'organisation') as organisation,
        max(value) filter (where field = 'analysed_on') as analysed_on,
        max(value) filter (where field = 'laboratory') as laboratory,
        max(value) filter (where field = 'certificate_ref') as certificate_ref,
        max(value) filter (where field = 'analyst') as analyst
    from said_above
    group by table_id
),

named as (
    select
        r.table_id,
        r.path,
        r.sheet,
        r.row_number,
        r.cells,
        r.line,
        coalesce(nullif(r.cells[p.sample_ref_at], ''), nullif(r.cells[p.lab_ref_at], '')) as sample_ref,
        nullif(r.cells[p.lab_ref_at], '') as lab_ref,
        nullif(r.cells[p.property_ref_at], '') as own_ref,
        nullif(ltrim(r.cells[p.uprn_at], ''''), '') as own_uprn,
        nullif(array_to_string(filled(r.cells, p.address_at), ', '), '') as own_address,
        coalesce(own_ref, own_uprn, own_address) is not null as names_property,
        case
            when names_property
                then struct_pack(
                    property_ref := own_ref,
                    uprn := own_uprn,
                    address := own_address,
                    postcode := nullif(r.cells[p.postcode_at], '')
                )
        end as own_property,
        nullif(r.cells[p.room_at], '') as room,
        nullif(r.cells[p.product_at], '') as product,
        nullif(r.cells[p.asbestos_types_at], '') as asbestos_types,
        nullif(
            concat_ws(
                '; ',
                nullif(r.cells[p.analysis_result_at], ''),
                'chrysotile: ' || nullif(r.cells[p.chrysotile_at], ''),
                'amosite: ' || nullif(r.cells[p.amosite_at], ''),
                'crocidolite: ' || nullif(r.cells[p.crocidolite_at], '')
            ), ''
        ) as analysis_result,
        coalesce(nullif(r.cells[p.surveyed_on_at], ''), s.surveyed_on) as surveyed_on,
        coalesce(nullif(r.cells[p.analysed_on_at], ''), s.analysed_on) as analysed_on,
        coalesce(nullif(r.cells[p.organisation_at], ''), s.organisation) as organisation,
        coalesce(nullif(r.cells[p.laboratory_at], ''), s.laboratory) as laboratory,
        coalesce(nullif(r.cells[p.certificate_ref_at], ''), s.certificate_ref) as certificate_ref,
        coalesce(nullif(r.cells[p.analyst_at], ''), s.analyst) as analyst,
        case
            when coalesce(s.property_ref, s.uprn, s.address) is not null
                then struct_pack(
                    property_ref := s.property_ref, uprn := s.uprn, address := s.address, postcode := s.postcode
                )
        end as property_above
    from table_rows as r
    left join table_columns as p on r.table_id = p.table_id
    left join said as s on r.table_id = s.table_id
    where r.kind = 'samples'
),

carrying as (
    select n.table_id
    from named as n
    cross join reference.limits as l
    where n.line = 'item' and l.name = 'carry_down_share_least'
    group by n.table_id
    having count(*) filter (where not n.names_property) >= max(l.value) * count(*)
),

carried as (
    select
        n.table_id,
        n.row_number,
        last_value(case when n.line = 'item' then n.own_property end ignore nulls) over (
            partition by n.table_id
            order by n.row_number
            rows between unbounded preceding and current row
        ) as property_carried
    from named as n
    inner join carrying as c on n.table_id = c.table_id
),

-- The further layers of a sample: rows without a number that name a material and a result of it, and no place.
heard as (
    select
        n.* exclude (sample_ref),
        case
            when
                n.sample_ref is null
                and n.line = 'item'
                and not n.names_property
                and n.room is null
                and n.product is not null
                and (n.asbestos_types is not null or n.analysis_result is not null)
                then
                    last_value(n.sample_ref ignore nulls) over (
                        partition by n.table_id, n.line
                        order by n.row_number
                        rows between unbounded preceding and current row
                    )
            else n.sample_ref
        end as sample_ref,
        c.property_carried,
        coalesce(n.own_property, c.property_carried, n.property_above) as property
    from named as n
    left join carried as c on n.table_id = c.table_id and n.row_number = c.row_number
)

select
    table_id,
    path,
    sheet,
    row_number,
    cells,
    line,
    property.property_ref,
    property.uprn,
    property.address,
    property.postcode,
    own_property is null and property_carried is not null as is_carried,
    surveyed_on,
    organisation,
    sample_ref,
    lab_ref,
    room,
    product,
    asbestos_types,
    analysis_result,
    analysed_on,
    laboratory,
    certificate_ref,
    analyst,
    null::integer as part
from heard
where line <> 'layout'
union all
-- results that stand on the sheets of the items
select
    null as table_id,
    path,
    sheet,
    row_number,
    [path, sheet, row_number::varchar, part::varchar, sample_ref, what, result] as cells,
    'item' as line,
    null as property_ref,
    null as uprn,
    null as address,
    null as postcode,
    false as is_carried,
    null as surveyed_on,
    null as organisation,
    sample_ref,
    null as lab_ref,
    what as room,
    what as product,
    null as asbestos_types,
    result as analysis_result,
    null as analysed_on,
    null as laboratory,
    certificate_ref,
    null as analyst,
    part
from foot_samples
