-- What becomes of each row of a laboratory: joined to rows of registers, or set aside with a reason. One row per row of
-- a samples sheet below its heading.
-- Kept as a step.
with candidates as (
    select
        sample_id,
        bool_or(is_meant and not is_ambiguous) as is_joined,
        bool_or(is_ambiguous) as is_ambiguous,
        list(
            concat_ws(', ', property_ref, path, sheet, 'row ' || row_number)
            order by property_ref, path, sheet nulls first, row_number
        ) as written
    from sample_candidates
    group by sample_id
),

-- Where no row of the property names the sample, the only other property whose rows do may be told.
unmet as (
    select
        r.sample_id,
        k.key
    from sample_results as r
    inner join sample_keys as k on r.sample_ref = k.written
    left join candidates as c on r.sample_id = c.sample_id
    where r.reason_code is null and c.sample_id is null
),

of_one_property as (
    select
        k.key,
        min(concat_ws(', ', s.property_ref, s.path, s.sheet, 'row ' || s.row_number)) as written
    from register_samples as s
    inner join sample_keys as k on s.sample = k.written
    where
        not s.is_reference
        and k.key in (
            select u.key
            from unmet as u
        )
    group by k.key
    having min(s.property_ref) = max(s.property_ref)
),

elsewhere as (
    select
        u.sample_id,
        min(o.written) as written
    from unmet as u
    inner join of_one_property as o on u.key = o.key
    group by u.sample_id
)

select
    r.sample_id,
    r.path,
    r.sheet,
    r.row_number,
    r.property_ref,
    coalesce(
        r.reason_code,
        case
            when c.is_joined then null
            when c.is_ambiguous then 'ambiguous_sample'
            when c.sample_id is not null then 'sample_of_another_visit'
            else 'sample_without_entry'
        end
    ) as reason_code,
    case
        when r.reason_code is not null then r.value
        when c.sample_id is null
            then concat_ws(', ', r.sample_ref, r.property_ref) || coalesce('; only named by ' || e.written, '')
        else
            array_to_string(
                c.written[:(
                    select value::integer
                    from reference.limits
                    where name = 'candidates_most'
                )], '; '
            )
    end as value
from sample_results as r
left join candidates as c on r.sample_id = c.sample_id
left join elsewhere as e on r.sample_id = e.sample_id
