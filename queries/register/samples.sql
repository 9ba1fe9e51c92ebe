-- One row per laboratory result. What laboratories found, with the entries that each result is about; a result that no
-- entry has stands there with none, and is set aside with its reason.
with joined as (
    select
        j.sample_id,
        list(e.entry_id order by e.entry_id) as entry_ids,
        min(e.property_ref) as property_ref,
        min(j.reason) as reason
    from sample_joins as j
    inner join readings as e
        on j.path = e.path and j.sheet is not distinct from e.sheet and j.row_number = e.line_number
    where j.is_meant
    group by j.sample_id
)

select
    r.sample_id,
    r.path,
    r.sheet,
    r.row_number,
    r.sample_ref,
    coalesce(j.property_ref, r.property_ref) as property_ref,
    r.sampled_on,
    r.analysed_on,
    r.asbestos_types,
    r.result_text,
    r.product_text,
    r.room_text,
    r.laboratory,
    r.certificate_ref,
    r.analyst,
    coalesce(j.entry_ids, []) as entry_ids,
    j.reason as join_reason,
    f.reason_code
from sample_results as r
inner join sample_fates as f on r.sample_id = f.sample_id
left join joined as j on r.sample_id = j.sample_id
where r.reason_code is null
order by property_ref, r.path, r.sheet, r.row_number
