-- What people decided about which property is meant. One row per row of corrections/properties below its heading.
-- Kept as a step.
with written as (
    select
        r.path,
        r.sheet,
        r.row_number,
        nullif(trim(lower(regexp_replace(r.cells[p.property_ref_as_written_at], '\s+', ' ', 'g'))), '')
            as said_property_ref,
        nullif(trim(lower(regexp_replace(r.cells[p.uprn_as_written_at], '\s+', ' ', 'g'))), '') as said_uprn,
        nullif(trim(lower(regexp_replace(r.cells[p.address_as_written_at], '\s+', ' ', 'g'))), '') as said_address,
        nullif(trim(lower(regexp_replace(r.cells[p.postcode_as_written_at], '\s+', ' ', 'g'))), '') as said_postcode,
        trim(r.cells[p.property_ref_at]) as answer_written,
        nullif(upper(regexp_replace(answer_written, '\s+', '', 'g')), '') as answer
    from sundry_rows as r
    inner join table_columns as p on r.table_id = p.table_id
    where
        r.kind = 'corrections'
        and r.line <> 'layout'
        and regexp_matches(r.path, '^corrections/(.*/)?properties[^/]*$')
),

known as (
    select
        property_ref,
        upper(replace(property_ref, ' ', '')) as same,
        count(*) over (partition by same) = 1 as is_only
    from (
        select property_ref
        from stock_properties
        union
        select property_ref
        from block_parts
    ) as together
)

select
    w.path,
    w.sheet,
    w.row_number,
    w.said_property_ref,
    w.said_uprn,
    w.said_address,
    w.said_postcode,
    w.answer,
    known.property_ref,
    case
        when coalesce(w.said_property_ref, w.said_uprn, w.said_address) is null then 'correction_names_nothing'
        when w.answer is null then 'correction_without_answer'
        when w.answer <> 'NONE' and known.property_ref is null then 'correction_unknown_property'
    end as reason_code
from written as w
left join known on w.answer = known.same and (known.is_only or w.answer_written = known.property_ref)
