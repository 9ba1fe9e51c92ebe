-- The materials recorded in a property, in the order in which to act. One row per item.
-- $property_ref: which property
select
    r.rank,
    i.*,
    coalesce(i.material_score, i.material_high) as shown_score,
    e.room_text,
    p.in_words as product_in_words,
    coalesce(l.in_words, 'place not recognised') as place_in_words,
    b.in_words as band_in_words,
    w.in_words as status_in_words,
    json_extract_string(s.settings, '$.priority_rounding') as rounding,
    evidence.surveyed_on as evidence_on,
    evidence.sample_ref as evidence_sample_ref
from items as i
inner join entries as e on i.entry_id = e.entry_id and e.property_ref = $property_ref
inner join entries as evidence
    on i.evidence_entry_id = evidence.entry_id and evidence.property_ref = $property_ref
inner join reference.products as p on i.product = p.product
left join reference.places as l on i.place = l.place
left join reference.material_bands as b on i.material_band = b.band
left join reference.item_statuses as w on i.status = w.status
cross join runs as s
left join item_ranking as r on i.item_id = r.item_id and r.property_ref = $property_ref
where i.property_ref = $property_ref
order by r.rank nulls last, i.item_id
