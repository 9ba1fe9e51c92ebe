-- Items in the order in which to act: those that cannot wait, then by material score (its high end where a part is
-- missing), then by damage. One row per item that is not known to be free of asbestos.
select
    (row_number() over (
        order by
            i.act_now desc, coalesce(i.material_score, i.material_high) desc, i.damage_score desc nulls last, i.item_id
    ))::integer as rank,
    i.item_id,
    concat_ws(
        '; ',
        upper(left(p.in_words, 1)) || substr(p.in_words, 2) || ', ' || coalesce(l.in_words, 'place not recognised'),
        'act now: ' || i.act_now_why,
        case
            when i.material_score is null
                then 'material score ' || i.material_low || ' to ' || i.material_high || ' of 12'
            when i.material_low < i.material_score
                then 'material score ' || i.material_score || ' of 12, at least ' || i.material_low
            else 'material score ' || i.material_score || ' of 12'
        end
        || coalesce(' (' || i.material_band || ')', ''),
        coalesce('seen ' || strftime(i.last_surveyed_on, '%-d %b %Y'), 'date of survey unknown')
    ) as why
from items as i
inner join reference.products as p on i.product = p.product
left join reference.places as l on i.place = l.place
where i.status <> 'not_detected'
