-- The properties that an address can mean. One row per way of naming and property, with the surest reason.
-- Kept as a step.
with said as (
    select
        n.named_id,
        c.* exclude (address, postcode)
    from named_properties as n
    inner join said_claims as c on n.address_read = c.address and n.postcode is not distinct from c.postcode
),

homes as (
    select
        p.property_ref,
        p.building_ref,
        'address' as method,
        c.* exclude (address, postcode)
    from stock_properties as p
    inner join stock_claims as c on p.address = c.address and p.postcode is not distinct from c.postcode
),

places as (
    select
        name,
        count(distinct rest) = 1 and count(distinct left(postcode_key, length(postcode_key) - 3)) <= 1 as is_one
    from homes
    group by name
),

blocks as (
    select
        property_ref,
        building_ref,
        'building' as method,
        unit,
        name,
        rest,
        postcode_key
    from block_claims
),

ranges as (
    select
        named_id,
        name,
        rest,
        whole,
        postcode_key,
        regexp_extract(
            unit, '^(?:common:)?([0-9]+)[a-z]?-([0-9]+)[a-z]?(?: of (.*))?$', ['low', 'high', 'house']
        ) as units
    from said
    where regexp_matches(unit, '^(common:)?[0-9]+[a-z]?-[0-9]+[a-z]?( of |$)')
),

covered as (
    select
        r.named_id,
        r.name,
        r.rest,
        r.whole,
        r.postcode_key,
        h.building_ref,
        h.rest as home_rest,
        h.postcode_key as home_postcode
    from ranges as r
    inner join homes as h
        on
            r.name = h.name
            and try_cast(regexp_extract(h.unit, '^([0-9]+)[a-z]?( of |$)', 1) as integer)
            between r.units.low::integer and r.units.high::integer
            and regexp_extract(h.unit, ' of (.*)$', 1) = r.units.house
    where h.likeness not in ('role', 'joined')
),

names as (
    select distinct
        name as said,
        name,
        'name' as spelling
    from said
    union all
    select
        said,
        name,
        coalesce(spelling, 'spelling') as spelling
    from near_names
),

pairs as (
    select
        s.named_id,
        h.property_ref,
        h.building_ref,
        h.method,
        case
            when n.spelling <> 'name' then case when s.likeness = 'name' and h.likeness = 'name' then n.spelling end
            when 'joined' in (s.likeness, h.likeness)
                then case when 'name' in (s.likeness, h.likeness) then 'joined' end
            when 'role' in (s.likeness, h.likeness) then 'role'
            when 'turned' in (s.likeness, h.likeness) then 'turned'
            else 'name'
        end as likeness,
        s.rest,
        h.rest as stock_rest,
        s.postcode_key,
        h.postcode_key as stock_postcode,
        h.name
    from said as s
    inner join names as n on s.name = n.said
    inner join homes as h on s.unit = h.unit and n.name = h.name and coalesce(s.house = h.house, true)
    union all
    select
        s.named_id,
        h.property_ref,
        h.building_ref,
        h.method,
        'text' as likeness,
        s.rest,
        h.rest as stock_rest,
        s.postcode_key,
        h.postcode_key as stock_postcode,
        h.name
    from said as s
    inner join homes as h on s.whole = h.whole
    union all
    select
        s.named_id,
        h.property_ref,
        h.building_ref,
        h.method,
        'postcode' as likeness,
        '' as rest,
        '' as stock_rest,
        s.postcode_key,
        h.postcode_key as stock_postcode,
        h.name
    from said as s
    inner join homes as h on s.unit = h.unit and s.postcode_key = h.postcode_key
    where s.unit <> '' and s.likeness = 'name' and h.likeness = 'name' and s.name <> h.name
    union all
    select
        s.named_id,
        b.property_ref,
        b.building_ref,
        b.method,
        n.spelling as likeness,
        s.rest,
        b.rest as stock_rest,
        s.postcode_key,
        b.postcode_key as stock_postcode,
        b.name
    from said as s
    inner join names as n on s.name = n.said
    inner join blocks as b on replace(s.unit, 'common:', '') = b.unit and n.name = b.name
    where s.likeness = 'name'
    union all
    select
        c.named_id,
        b.property_ref,
        c.building_ref,
        'building' as method,
        'name' as likeness,
        c.rest,
        c.home_rest as stock_rest,
        c.postcode_key,
        c.home_postcode as stock_postcode,
        c.name
    from covered as c
    left join block_parts as b on c.building_ref = b.building_ref
),

compared as (
    select
        p.*,
        string_split(p.rest, ' ') as words,
        string_split(p.stock_rest, ' ') as stock_words,
        case
            when p.postcode_key is null or p.stock_postcode is null then 'absent'
            when p.postcode_key = p.stock_postcode then 'equal'
            when damerau_levenshtein(p.postcode_key, p.stock_postcode) = 1 then 'near'
            else 'differs'
        end as postcode,
        case
            when p.rest = p.stock_rest and (p.rest <> '' or p.stock_postcode is null) then 'agrees'
            when p.rest = '' or p.stock_rest = '' then case when places.is_one then 'one place' else 'absent' end
            when list_has_all(words, stock_words) or list_has_all(stock_words, words) then 'agrees'
            else 'differs'
        end as rest_of_address
    from pairs as p
    left join places on p.name = places.name
)

select
    c.named_id,
    c.property_ref,
    c.building_ref,
    max_by(c.method, (a.confidence, c.method, a.reason)) as method,
    max(a.confidence) as confidence,
    max_by(a.reason, (a.confidence, c.method, a.reason)) as reason
from compared as c
inner join reference.address_confidence as a
    on c.likeness = a.likeness and c.postcode = a.postcode and c.rest_of_address = a.rest
where c.likeness is not null
group by c.named_id, c.property_ref, c.building_ref
