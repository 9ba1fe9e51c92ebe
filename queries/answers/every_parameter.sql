-- One row per parameter. Every figure that the exposure rests on, in words, with its range, what was counted, its basis
-- and its source.
-- $kind: only this kind of figure, or null for all
-- $text: only where these words occur in what it is about, its basis or its source, or null
with spans as (
    select 'job lists, ' || strftime(min(done_on), '%-d %b %Y') || ' to ' || strftime(max(done_on), '%-d %b %Y') as span
    from jobs
),

rate_sources as (
    select
        'rate' as name,
        json_object('work_type', r.work_type, 'dwelling', r.dwelling, 'area', r.area) as keys,
        w.in_words || ', ' || r.dwelling || ', ' || r.area as about,
        'a year' as unit,
        case when r.basis = 'learned from history' then s.span else d.source end as source
    from rates as r
    inner join reference.work_types as w on r.work_type = w.work_type
    inner join reference.rates as d on r.work_type = d.work_type and r.dwelling = d.dwelling
    cross join spans as s
),

task_words as (
    select
        task,
        min(in_words) as in_words
    from reference.release
    group by task
),

contact_sources as (
    select
        'contact' as name,
        json_object('work_type', c.work_type, 'contact_code', c.contact_code, 'task', c.task) as keys,
        w.in_words || ' at ' || k.short || ': ' || t.in_words as about,
        'chance of touching' as unit,
        c.source
    from reference.contacts as c
    inner join reference.work_types as w on c.work_type = w.work_type
    inner join reference.contact_codes as k on c.contact_code = k.contact_code
    inner join task_words as t on c.task = t.task
),

minute_sources as (
    select
        'minutes' as name,
        keys,
        about,
        'minutes' as unit,
        source
    from contact_sources
),

place_sources as (
    select
        'place share' as name,
        json_object('part', s.part, 'place', s.place, 'contact_code', s.contact_code) as keys,
        k.short || ' of a ' || s.part || ': ' || coalesce(l.in_words, replace(s.place, '_', ' ')) as about,
        'share of such material' as unit,
        s.source
    from reference.place_shares as s
    inner join reference.contact_codes as k on s.contact_code = k.contact_code
    left join reference.places as l on s.place = l.place
),

usual_sources as (
    select
        u.name,
        json_object('contact_code', k.contact_code) as keys,
        k.short || ': ' || u.about as about,
        if(u.name = 'usual reach', 'accessibility, 0 to 3', k.usual_extent_unit) as unit,
        if(u.name = 'usual reach', k.source, k.extent_source) as source
    from reference.contact_codes as k
    cross join (
        values ('usual reach', 'usual accessibility'),
        ('usual extent', 'usual extent in a property'),
        ('usual room extent', 'usual extent in one room')
    ) as u (name, about)
),

release_sources as (
    select
        'release' as name,
        json_object('product', r.product, 'task', r.task, 'control', r.control) as keys,
        p.in_words || ': ' || r.in_words || ', ' || r.control as about,
        'f/ml, geometric mean' as unit,
        r.source
    from reference.release as r
    inner join reference.products as p on r.product = p.product
),

share_sources as (
    select
        'positive share' as name,
        json_object('contact_code', k.contact_code, 'era', e.era) as keys,
        'presumed ' || k.short || ', ' || e.era as about,
        'share' as unit,
        k.source
    from reference.contact_codes as k
    cross join reference.positive_share_eras as e
),

model_sources as (
    select
        'model' as name,
        json_object('name', m.name, 'meaning', m.meaning) as keys,
        m.meaning as about,
        '' as unit,
        m.source
    from reference.model_values as m
),

-- The years of which an archetype has properties: their defaults are what its chances start from.
archetype_years as (
    select distinct
        archetype,
        part,
        oldest_year
    from property_cells
    where is_before_2000
),

presence_sources as (
    select
        'presence' as name,
        json_object('archetype', p.archetype, 'part', p.part, 'contact_code', p.contact_code) as keys,
        k.short || ', ' || p.part || ' of archetype ' || p.archetype as about,
        'share of properties' as unit,
        array_to_string(each_once([d.source]), '. ') as source
    from presence as p
    inner join archetype_years as y on p.archetype = y.archetype and p.part = y.part
    inner join reference.contact_codes as k on p.contact_code = k.contact_code
    inner join reference.presence as d
        on
            p.part = d.part
            and p.contact_code = d.contact_code
            and (y.oldest_year is null or y.oldest_year between d.from_year and d.to_year)
    group by p.archetype, p.part, p.contact_code, k.short
),

sources as (
    from rate_sources
    union all
    from contact_sources
    union all
    from minute_sources
    union all
    from place_sources
    union all
    from usual_sources
    union all
    from release_sources
    union all
    from share_sources
    union all
    from model_sources
    union all
    from presence_sources
)

select
    p.name,
    s.about,
    p.point,
    p.low,
    p.high,
    s.unit,
    p.n,
    p.basis,
    case when p.basis = 'own' then 'parameters/' else s.source end as source
from parameters as p
inner join sources as s on p.name = s.name and p.keys = s.keys
where
    ($kind is null or p.name = $kind)
    and ($text is null or contains(lower(concat_ws(' ', s.about, p.basis, s.source)), lower(trim($text))))
order by p.name, s.about, p.point
