-- How likely each candidate is the later thing, as odds, and why. One row per earlier and later thing of a property.
with limits as (
    select
        max(value) filter (where name = 'words_same_least') as words_same,
        max(value) filter (where name = 'words_alike_least') as words_alike
    from reference.limits
),

agreements as (
    select
        c.earlier_id,
        c.later_id,
        unnest(['any', 'place', 'contact', 'product', 'extent', 'sample', 'number', 'words']) as feature,
        unnest([
            'any', c.place, c.contact, c.product, c.extent, c.sample, c.number,
            case
                when r.likeness >= k.words_same then 'same'
                when r.likeness >= k.words_alike then 'alike'
                else 'other'
            end
        ]) as level
    from link_candidates as c
    inner join room_likenesses as r on c.earlier_room = r.earlier_room and c.later_room = r.later_room
    cross join limits as k
),

weighed as (
    select
        a.earlier_id,
        a.later_id,
        exp(sum(ln(e.weight)::decimal(38, 15))::double) as odds,
        string_agg(e.in_words, ', ' order by e.weight desc, e.feature) as why
    from agreements as a
    inner join reference.link_evidence as e on a.feature = e.feature and a.level = e.level
    group by a.earlier_id, a.later_id
),

added as (
    select
        earlier_id,
        later_id,
        product = 'same'
        and contact = 'same'
        and is_measured
        and (is_throughout or place in ('same', 'unnumbered', 'differs')) as may_add_up
    from link_candidates
)

select
    c.property_ref,
    c.visit_on,
    c.earlier_id,
    c.later_id,
    round(w.odds, 12) as odds,
    w.why,
    c.earlier_extent,
    c.later_extent,
    a.may_add_up and c.earlier_rows = 1 as may_split,
    a.may_add_up and c.later_rows = 1 as may_merge
from added as a
inner join link_candidates as c on a.earlier_id = c.earlier_id and a.later_id = c.later_id
inner join weighed as w on c.earlier_id = w.earlier_id and c.later_id = w.later_id
order by c.property_ref, c.visit_on, c.later_id, c.earlier_id
