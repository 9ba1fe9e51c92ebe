-- The materials recorded in a property, in the order in which to act. One row per item.
-- $property_ref: which property
-- What is best known of an item, with the day of the laboratory that found it, and of the first visit that said so by
-- the same sample, which later ones repeat. A presumption is what the last visit thought.
with evidence as (
    select
        i.item_id,
        e.sample_ref,
        min(coalesce(s.analysed_on, s.sampled_on)) as analysed_on,
        if(i.identification in ('identified', 'not_detected'), min(said.surveyed_on), e.surveyed_on) as said_on
    from items as i
    inner join entries as e on i.evidence_entry_id = e.entry_id and e.property_ref = $property_ref
    left join entries as said
        on
            i.item_id = said.item_id
            and said.property_ref = $property_ref
            and e.identification = said.identification
            and e.sample_ref is not distinct from said.sample_ref
    left join samples as s
        on
            s.property_ref = $property_ref
            and list_contains(s.entry_ids, said.entry_id)
            and if(len(s.asbestos_types) > 0, 'identified', 'not_detected') = i.identification
    where i.property_ref = $property_ref
    group by i.item_id, i.identification, e.sample_ref, e.surveyed_on
)

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
    coalesce(evidence.analysed_on, evidence.said_on) as evidence_on,
    evidence.analysed_on is not null as is_analysis_day,
    evidence.sample_ref as evidence_sample_ref
from items as i
inner join entries as e on i.entry_id = e.entry_id and e.property_ref = $property_ref
inner join evidence on i.item_id = evidence.item_id
inner join reference.products as p on i.product = p.product
left join reference.places as l on i.place = l.place
left join reference.material_bands as b on i.material_band = b.band
left join reference.item_statuses as w on i.status = w.status
cross join runs as s
left join item_ranking as r on i.item_id = r.item_id and r.property_ref = $property_ref
where i.property_ref = $property_ref
order by r.rank nulls last, i.item_id
