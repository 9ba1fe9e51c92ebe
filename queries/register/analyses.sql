-- One row per used register row that names a sample. What is known of the samples that a register row names: the
-- laboratory's results, and for samples of another place (`as S12`) what was found there, as told by the nearest row
-- that took it: of the same visit, property, sheet or firm. So is a sample of the row itself whose result stands
-- elsewhere: `see certificate`.
-- Kept as a step.
with named as (
    select
        s.path,
        s.sheet,
        s.row_number,
        s.source_row,
        s.property_ref,
        s.surveyed_on,
        s.firm,
        s.is_reference,
        s.identification,
        s.asbestos_types,
        s.is_reference
        or regexp_matches(
            coalesce(s.asbestos_types, s.identification, ''),
            '(?i)\b(see|refer|as per|per)\b.*\b(cert\w*|lab\w*|reports?|sheet|results?|analys[ie]s|appendix|attached)\b'
        ) as is_open,
        k.key,
        k.number
    from register_samples as s
    inner join sample_keys as k on coalesce(s.sample_of_job, s.sample) = k.written
),

-- `as sample 12` refers to the only sample of the property that has this number.
plain_numbers as (
    select
        property_ref,
        number,
        min(key) as key
    from named
    where not is_reference
    group by property_ref, number
    having min(key) = max(key)
),

keyed as (
    select
        n.* exclude (key, number),
        coalesce(p.key, n.key) as key
    from named as n
    left join plain_numbers as p
        on n.property_ref = p.property_ref and n.number = p.number and n.key = n.number and n.is_reference
),

found as (
    select
        j.path,
        j.sheet,
        j.row_number,
        count(distinct j.key) as n_keys,
        count(distinct r.product) as n_products,
        bool_and(j.is_reference) as is_reference,
        bool_or(r.is_positive) as is_positive,
        each_once(r.asbestos_types) as types,
        bool_and(j.is_sure) as is_sure,
        bool_or(j.is_other_material) as is_other_material,
        min(case when not j.is_sure then j.reason end) as reason,
        string_agg(
            concat_ws(', ', r.sample_ref, r.path, r.sheet, 'row ' || r.row_number),
            '; ' order by r.path, r.sheet nulls first, r.row_number
        ) as source
    from sample_joins as j
    inner join sample_results as r on j.sample_id = r.sample_id
    group by j.path, j.sheet, j.row_number
),

-- Which sample of several found what, or in which layer of one; most rows name one of one material.
each_key as (
    select
        j.path,
        j.sheet,
        j.row_number,
        j.key,
        bool_or(r.is_positive) as is_positive,
        each_once(r.asbestos_types) as types,
        bool_and(j.is_exact) as is_exact,
        if(min(r.product) = max(r.product), min(r.product), null) as product
    from sample_joins as j
    inner join sample_results as r on j.sample_id = r.sample_id
    inner join found as f
        on
            j.path = f.path
            and j.sheet is not distinct from f.sheet
            and j.row_number = f.row_number
            and (f.n_keys > 1 or f.n_products > 1)
    group by j.path, j.sheet, j.row_number, j.key, if(f.n_keys > 1, null, r.product)
),

by_key as (
    select
        path,
        sheet,
        row_number,
        list(
            struct_pack(
                key := replace(key, '-', ''),
                is_positive := is_positive,
                types := types,
                is_exact := is_exact,
                product := product
            )
            order by key, product
        ) as by_sample
    from each_key
    group by path, sheet, row_number
),

sizes as (
    select
        written,
        count(*) as n_keys
    from sample_keys
    group by written
),

answered as (
    select
        s.firm,
        count(f.path) as n_answered,
        count(*) as n_named
    from register_samples as s
    left join found as f on s.path = f.path and s.sheet is not distinct from f.sheet and s.row_number = f.row_number
    where not s.is_reference
    group by s.firm
),

owners as (
    select
        k.path,
        k.sheet,
        k.row_number,
        k.property_ref,
        k.surveyed_on,
        k.firm,
        k.key,
        k.is_open,
        concat_ws(', ', k.property_ref, k.path, k.sheet, 'row ' || k.source_row) as source,
        coalesce(type.term, in_result.term) as register_types,
        case
            when (result.term = 'not_detected' and result.how in ('known', 'within')) or type.term = 'none' then false
        end as register_result
    from keyed as k
    left join recognised_words as result on result.field = 'identification' and k.identification = result.written
    left join recognised_words as type on type.field = 'asbestos_type' and k.asbestos_types = type.written
    left join recognised_words as in_result
        on in_result.field = 'type_in_result' and k.identification = in_result.written
    where
        not k.is_reference
        and k.key in (
            select r.key
            from keyed as r
            where r.is_open
        )
),

told as (
    select
        o.* exclude (register_result, is_open),
        coalesce(f.is_positive, o.register_result) as is_positive,
        coalesce(
            case when f.is_positive then f.types end,
            case
                when f.is_positive is null
                    then string_split(nullif(nullif(o.register_types, 'none'), 'unknown'), '+')
            end,
            []
        ) as types
    from owners as o
    left join found as f on o.path = f.path and o.sheet is not distinct from f.sheet and o.row_number = f.row_number
    where not (o.is_open and f.path is null)
),

of_visit as (
    select
        path,
        property_ref,
        surveyed_on,
        key,
        bool_or(is_positive) as is_positive,
        each_once(types) as types,
        min(source) as source
    from told
    group by path, property_ref, surveyed_on, key
),

of_property as (
    select
        property_ref,
        key,
        bool_or(is_positive) as is_positive,
        each_once(types) as types,
        min(source) as source
    from told
    group by property_ref, key
),

of_sheet as (
    select
        path,
        sheet,
        firm,
        key,
        bool_or(is_positive) as is_positive,
        each_once(types) as types,
        min(source) as source
    from told
    group by path, sheet, firm, key
    having min(property_ref) = max(property_ref)
),

of_firm as (
    select
        firm,
        key,
        bool_or(is_positive) as is_positive,
        each_once(types) as types,
        min(source) as source
    from told
    group by firm, key
    having min(property_ref) = max(property_ref)
),

referred as (
    select
        r.path,
        r.sheet,
        r.row_number,
        bool_or(coalesce(v.is_positive, p.is_positive, s.is_positive, f.is_positive)) as is_positive,
        each_once(coalesce(v.types, p.types, s.types, f.types, [])) as types,
        string_agg(coalesce(v.source, p.source, s.source, f.source), '; ' order by r.key) as source
    from keyed as r
    left join of_visit as v
        on
            r.path = v.path
            and r.property_ref = v.property_ref
            and r.surveyed_on is not distinct from v.surveyed_on
            and r.key = v.key
    left join of_property as p on r.property_ref = p.property_ref and r.key = p.key
    left join of_sheet as s
        on
            r.path = s.path
            and r.sheet is not distinct from s.sheet
            and r.firm = s.firm
            and r.key = s.key
            and r.is_reference
    left join of_firm as f on r.firm = f.firm and r.key = f.key and r.is_reference
    where r.is_open
    group by r.path, r.sheet, r.row_number
)

select
    s.path,
    s.sheet,
    s.row_number,
    s.sample,
    s.is_reference,
    coalesce(f.is_reference, s.is_reference) as is_elsewhere,
    coalesce(f.is_positive, o.is_positive) as is_positive,
    coalesce(f.types, o.types, []) as types,
    coalesce(f.is_sure and f.n_keys = n.n_keys, false) as is_sure,
    coalesce(f.is_other_material, false) as is_other_material,
    coalesce(f.source, o.source) as source,
    f.reason as unsure_reason,
    b.by_sample,
    f.path is null and coalesce(a.n_answered >= l.value * a.n_named, false) as is_unanswered
from register_samples as s
left join found as f on s.path = f.path and s.sheet is not distinct from f.sheet and s.row_number = f.row_number
left join by_key as b on s.path = b.path and s.sheet is not distinct from b.sheet and s.row_number = b.row_number
left join sizes as n on coalesce(s.sample_of_job, s.sample) = n.written
left join referred as o on s.path = o.path and s.sheet is not distinct from o.sheet and s.row_number = o.row_number
left join answered as a on s.firm = a.firm
inner join reference.limits as l on l.name = 'samples_answered_least'
