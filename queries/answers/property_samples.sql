-- What laboratories found in the samples of a property, the latest first. One row per result and item that it is about,
-- or per result that no row of a register has.
-- $property_ref: which property
with said as (
    select
        sample_id,
        unnest(if(len(entry_ids) = 0, [null], entry_ids)) as entry_id
    from samples
    where property_ref = $property_ref
),

items_met as (
    select distinct
        s.sample_id,
        e.item_id
    from said as s
    left join entries as e on s.entry_id = e.entry_id and e.property_ref = $property_ref
)

select
    m.item_id,
    s.*,
    r.in_short as set_aside_in_short
from items_met as m
inner join samples as s on m.sample_id = s.sample_id and s.property_ref = $property_ref
left join reference.set_aside_reasons as r on s.reason_code = r.reason_code
order by s.analysed_on desc nulls last, s.path, s.sheet nulls first, s.row_number, m.item_id nulls last
