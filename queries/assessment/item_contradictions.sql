-- What the visits to an item say against each other. One row per item and kind of contradiction.
with limits as (
    select
        max(value) filter (where name = 'extent_jump_least') as jump_least,
        max(value) filter (where name = 'link_days_least')::integer as days_least
    from reference.limits
),

-- What only one row speaks of is not contradicted.
spoken_of_again as (
    select item_id
    from item_links
    group by item_id
    having count(*) > 1
),

history as (
    select
        l.item_id,
        l.entry_id,
        r.property_ref,
        r.path,
        r.sheet,
        r.surveyed_on,
        r.product,
        r.extent,
        r.extent_unit,
        f.fate
    from item_links as l
    inner join spoken_of_again as a on l.item_id = a.item_id
    inner join readings as r on l.entry_id = r.entry_id
    left join reported_fates as f on l.entry_id = f.entry_id
),

measured as (
    select
        item_id,
        surveyed_on,
        extent_unit,
        max(property_ref) as property_ref,
        max(path) as path,
        sum(extent::decimal(18, 4))::double as extent,
        list(entry_id order by entry_id) as entry_ids
    from history
    where surveyed_on is not null and fate is null
    group by item_id, surveyed_on, extent_unit
    having count(extent) = count(*) and min(path) = max(path) and min(extent) > 0
),

compared as (
    select
        *,
        lag(extent) over visits as extent_before,
        lag(entry_ids) over visits as entries_before
    from measured
    window visits as (partition by item_id, extent_unit order by surveyed_on)
),

jumps as (
    select
        c.item_id,
        c.property_ref,
        'extent_jump' as kind,
        string_agg(
            format('{:g} to {:g} {}', c.extent_before, c.extent, coalesce(c.extent_unit, '')),
            '; ' order by c.surveyed_on
        ) as said,
        each_once(c.entries_before || c.entry_ids) as entry_ids
    from compared as c
    cross join limits as k
    where greatest(c.extent, c.extent_before) > k.jump_least * least(c.extent, c.extent_before)
    group by c.item_id, c.property_ref
),

seen_again as (
    select
        h.item_id,
        h.property_ref,
        'removed_seen_again' as kind,
        array_to_string(
            list_transform(
                list(distinct h.surveyed_on order by h.surveyed_on), lambda day: strftime(day, '%-d %b %Y')
            ), ', '
        ) as said,
        list(h.entry_id order by h.entry_id) as entry_ids
    from history as h
    inner join item_fates as f on h.item_id = f.item_id and f.is_seen_again
    group by h.item_id, h.property_ref
),

changed as (
    select
        item_id,
        property_ref,
        'product_changed' as kind,
        string_agg(distinct replace(product, '_', ' '), ', ' order by replace(product, '_', ' ')) as said,
        list(entry_id order by entry_id) as entry_ids
    from history
    where product <> 'other'
    group by item_id, property_ref
    having min(product) <> max(product)
),

parted as (
    select
        l.item_id,
        r.property_ref,
        k.kind,
        k.reason as said,
        list(distinct l.entry_id order by l.entry_id) as entry_ids
    from thing_links as k
    inner join item_rows as r on k.thing_id = r.thing_id
    inner join item_links as l on r.entry_id = l.entry_id
    where k.kind in ('split', 'merged')
    group by l.item_id, r.property_ref, k.kind, k.reason
),

surveys as (
    select
        property_ref,
        surveyed_on,
        list(distinct place order by place) filter (where identification = 'no_access') as shut
    from readings
    where surveyed_on is not null and survey_type in ('management', 'refurbishment', 'demolition')
    group by property_ref, surveyed_on
),

unmentioned as (
    select
        c.item_id,
        c.property_ref,
        'not_mentioned' as kind,
        string_agg(strftime(s.surveyed_on, '%-d %b %Y'), ', ' order by s.surveyed_on) as said,
        [c.entry_id] as entry_ids
    from item_conditions as c
    left join item_fates as f on c.item_id = f.item_id
    inner join surveys as s on c.property_ref = s.property_ref
    cross join limits as k
    where
        c.is_suspect
        and coalesce(f.status, 'present') in ('present', 'part_removed')
        and s.surveyed_on - c.last_surveyed_on >= k.days_least
        and not list_has_any(coalesce(s.shut, []), [c.place, 'whole_home'])
    group by c.item_id, c.property_ref, c.entry_id
),

analysed as (
    select
        l.item_id,
        r.property_ref,
        'register_and_laboratory' as kind,
        string_agg(
            concat_ws(
                ', ',
                'register: ' || replace(r.register_identification, '_', ' '),
                nullif(array_to_string(r.register_types, ' and '), '')
            )
            || concat_ws(
                ', ',
                '; laboratory: ' || replace(r.identification, '_', ' '),
                nullif(array_to_string(r.asbestos_types, ' and '), ''),
                r.analysis_source
            ), '. ' order by r.surveyed_on nulls first, r.entry_id
        ) as said,
        list(r.entry_id order by r.entry_id) as entry_ids
    from item_links as l
    inner join readings as r on l.entry_id = r.entry_id
    where
        not r.is_reference
        and r.register_identification in ('identified', 'not_detected', 'not_suspect')
        and (r.register_identification <> r.identification or (r.is_type_analysed and len(r.register_types) > 0))
    group by l.item_id, r.property_ref
),

together as (
    select *
    from jumps
    union all
    select *
    from analysed
    union all
    select *
    from seen_again
    union all
    select *
    from changed
    union all
    select *
    from parted
    union all
    select *
    from unmentioned
)

select
    property_ref,
    item_id,
    kind,
    said,
    entry_ids
from together
order by property_ref, item_id, kind
