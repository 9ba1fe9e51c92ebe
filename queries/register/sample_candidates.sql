-- One row per result and register row. The register rows that a laboratory's result may be about: rows of its workbook
-- or property that name the sample; where only the block is named, rows of the block; where nothing is, rows of its day
-- of sampling, else of the only property that has such a sample. Of these the rows that name it most exactly, that were
-- surveyed when the sample was taken, and that name its material.
-- Kept as a step.
with results as (
    select
        r.sample_id,
        r.path as path_of_result,
        r.sheet as sheet_of_result,
        r.row_number as row_of_result,
        r.is_on_sheet,
        r.property_ref,
        case when r.match_method = 'building' then p.building_ref end as building_ref,
        r.names_property,
        r.sampled_on,
        r.analysed_on,
        r.product,
        r.place,
        regexp_extract(r.room_text, '[0-9]+') as room_number,
        k.same,
        k.key,
        k.number,
        r.ref <> r.sample_ref as is_lab_ref
    from (
        select
            *,
            unnest(list_distinct([sample_ref, lab_ref])) as ref
        from sample_results
        where reason_code is null
    ) as r
    inner join sample_keys as k on r.ref = k.written
    left join properties as p on r.property_ref = p.property_ref
),

named as (
    select
        s.path,
        s.sheet,
        s.row_number,
        s.source_row,
        s.property_ref,
        s.building_ref,
        s.surveyed_on,
        s.is_reference,
        s.room,
        s.product,
        k.same,
        k.key,
        k.number
    from register_samples as s
    inner join sample_keys as k on coalesce(s.sample_of_job, s.sample) = k.written
    where
        k.key in (
            select r.key
            from results as r
        )
        or k.number in (
            select r.number
            from results as r
        )
),

of_one_property as (
    select key
    from named
    where not is_reference
    group by key
    having min(property_ref) = max(property_ref)
),

-- A number without its letters (`12` for `S12`) counts where neither side has that number with other letters too.
plain_numbers as (
    select
        r.property_ref,
        r.number
    from results as r
    inner join named as n on r.property_ref = n.property_ref and r.number = n.number
    where not r.is_lab_ref
    group by r.property_ref, r.number
    having min(r.key) = max(r.key) and min(n.key) = max(n.key) and r.number in (min(r.key), min(n.key))
),

-- A result on the sheet of the items is of that sheet's samples; where the sheet has another of the same, of the rows
-- between the two.
on_sheets as (
    select
        *,
        count(*) over same > 1 as is_repeated,
        coalesce(lag(row_of_result) over (same order by row_of_result, sample_id), 0) as row_before
    from results
    where is_on_sheet
    window same as (partition by path_of_result, sheet_of_result, key)
),

-- Scope: how far the row stands from where the result says its sample was taken, 0 the same workbook.
pairs as (
    select
        r,
        n,
        1 as scope
    from results as r
    inner join named as n on r.property_ref = n.property_ref and r.key = n.key
    union all
    select
        r,
        n,
        0 as scope
    from results as r
    inner join named as n on r.path_of_result = n.path and r.key = n.key
    where not r.is_lab_ref and not r.names_property and not r.is_on_sheet
    union all
    select
        r,
        n,
        0 as scope
    from on_sheets as r
    inner join named as n
        on
            r.path_of_result = n.path
            and r.sheet_of_result is not distinct from n.sheet
            and r.key = n.key
            and (not r.is_repeated or n.source_row between r.row_before and r.row_of_result)
    union all
    select
        r,
        n,
        1 as scope
    from results as r
    inner join plain_numbers as u on r.property_ref = u.property_ref and r.number = u.number
    inner join named as n on r.property_ref = n.property_ref and r.number = n.number and r.key <> n.key
    where not r.is_lab_ref
    union all
    select
        r,
        n,
        2 as scope
    from results as r
    inner join named as n on r.building_ref = n.building_ref and r.key = n.key and r.property_ref <> n.property_ref
    where not r.is_lab_ref
    union all
    select
        r,
        n,
        3 as scope
    from results as r
    inner join named as n on r.key = n.key and r.sampled_on = n.surveyed_on
    where not r.is_lab_ref and not r.names_property
    union all
    select
        r,
        n,
        4 as scope
    from results as r
    inner join of_one_property as o on r.key = o.key
    inner join named as n on r.key = n.key
    where not r.is_lab_ref and not r.names_property
),

-- Likeness: how far the words of the row are from those of the result, 1 the same words.
met as (
    select
        r.*,
        n.path,
        n.sheet,
        n.row_number,
        n.surveyed_on,
        n.is_reference,
        n.room,
        n.property_ref as row_property,
        n.product as product_text,
        n.same as row_same,
        scope,
        case
            when r.is_lab_ref then 3
            when r.key <> n.key then 4
            when r.same = n.same then 1
            else 2
        end as likeness
    from pairs
),

-- How far off a row is: by scope, then whether it only refers to the sample, then by likeness, each of one digit.
least as (
    select
        sample_id,
        min(100 * scope + 10 * is_reference::integer + likeness) as far
    from met
    group by sample_id
),

nearest as (
    select m.*
    from met as m
    inner join least as l
        on m.sample_id = l.sample_id and 100 * m.scope + 10 * m.is_reference::integer + m.likeness = l.far
),

limits as (
    select
        max(value) filter (where name = 'sample_days_most') as days_most,
        max(value) filter (where name = 'link_days_least') as visit_days
    from reference.limits
),

compared as (
    select
        n.*,
        case
            when n.surveyed_on is null then null
            when n.sampled_on is not null then abs(n.sampled_on - n.surveyed_on) < k.visit_days
            when n.analysed_on is not null then n.analysed_on - n.surveyed_on between 0 and k.days_most
        end as is_of_visit,
        case
            when 'other' in (n.product, coalesce(product.term, 'other')) or product.term in ('none', 'not_asbestos')
                then null
            else n.product = product.term or coalesce(fa.family = fb.family, false)
        end as product_agrees,
        n.place = place.term
        and n.room_number = regexp_extract(n.room, '[0-9]+') as place_agrees,
        case is_of_visit when true then 1 when false then 3 else 2 end as nth
    from nearest as n
    cross join limits as k
    left join recognised_words as product on product.field = 'product' and n.product_text = product.written
    left join recognised_words as place on place.field = 'place' and n.room = place.written
    left join reference.product_families as fa on n.product = fa.product
    left join reference.product_families as fb on product.term = fb.product
),

weighed as (
    select
        *,
        nth = min(nth) over of_result and (nth < 3 or coalesce(product_agrees, false)) as is_likeliest,
        coalesce(
            bool_or(product_agrees) filter (where nth < 3 or product_agrees) over (partition by sample_id, nth), false
        ) as is_material_met,
        is_likeliest and not (is_material_met and coalesce(not product_agrees, false)) as is_meant
    from compared
    window of_result as (partition by sample_id)
)

select
    sample_id,
    path,
    sheet,
    row_number,
    row_property as property_ref,
    is_reference,
    scope,
    likeness,
    key,
    is_of_visit,
    product_agrees,
    is_meant or (scope = 1 and coalesce(product_agrees and place_agrees, false)) as is_meant,
    scope = 1 and coalesce(product_agrees, false) as is_alike,
    coalesce(
        (
            (scope > 1 or is_on_sheet)
            and min(row_property) filter (where is_meant) over of_result
            <> max(row_property) filter (where is_meant) over of_result
        )
        or (likeness > 1 and min(row_same) over of_result <> max(row_same) over of_result)
        or (likeness > 1 and min(same) over of_key <> max(same) over of_key)
        or (
            min(surveyed_on) filter (where is_meant) over of_result
            <> max(surveyed_on) filter (where is_meant) over of_result
            and not bool_and(coalesce(product_agrees, false)) filter (where is_meant) over of_result
        ), false
    ) as is_ambiguous
from weighed
window
    of_result as (partition by sample_id),
    of_key as (partition by row_property, key, likeness)
