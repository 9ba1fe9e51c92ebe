-- Homes whose rows of one day are the very rows of another home of the same file. One row per visit to a home that is
-- like an earlier one in the file. Three rows with samples that name one material only in the file cannot be from two
-- homes; five rows of suspect materials with the same extents are more than homes built alike share by chance
-- (judgement).
-- Kept as a step.
with told as (
    select
        path,
        sheet,
        row_number,
        property_ref,
        surveyed_on,
        sample_ref,
        lower(concat_ws(
            '|', coalesce(room_text, ''), coalesce(product_text, ''), coalesce(extent_text, ''),
            coalesce(identification_text, ''), coalesce(types_text, ''), coalesce(sample_ref, ''),
            coalesce(damage_text, ''), coalesce(surface_text, ''), coalesce(notes, '')
        )) as said,
        is_suspect and extent is not null as is_measured,
        sample_ref is not null and not is_reference as has_own_sample
    from readings
    where surveyed_on is not null
),

samples as (
    select
        path,
        sample_ref,
        count(distinct said) = 1 as names_one_material
    from told
    where has_own_sample
    group by path, sample_ref
),

visits as (
    select
        t.path,
        t.property_ref,
        t.surveyed_on,
        min_by(t.sheet, t.row_number) as sheet,
        min(coalesce(t.sheet, '') || lpad(t.row_number::varchar, 9, '0')) as place,
        count(*) filter (where t.is_measured) as n_measured,
        count(*) filter (where t.has_own_sample and s.names_one_material) as n_sampled,
        sum(hash(t.said)) as mark
    from told as t
    left join samples as s on t.path = s.path and t.sample_ref = s.sample_ref
    group by t.path, t.property_ref, t.surveyed_on
),

limits as (
    select
        max(value) filter (where name = 'cloned_samples_least') as samples_least,
        max(value) filter (where name = 'cloned_rows_least') as rows_least
    from reference.limits
),

-- Visits of which another of the same file and day may say the same.
marked as (
    select
        v.*,
        v.n_sampled >= l.samples_least as is_by_samples
    from visits as v
    cross join limits as l
    where v.n_sampled >= l.samples_least or v.n_measured >= l.rows_least
    qualify count(*) over (partition by v.path, v.surveyed_on, v.mark) > 1
),

compared as (
    select
        m.path,
        m.property_ref,
        m.surveyed_on,
        string_agg(t.said, chr(10) order by t.said) as rows_said
    from marked as m
    inner join told as t on m.path = t.path and m.property_ref = t.property_ref and m.surveyed_on = t.surveyed_on
    group by m.path, m.property_ref, m.surveyed_on
)

select
    m.path,
    m.sheet,
    m.property_ref,
    m.surveyed_on,
    first_value(m.property_ref) over alike as original_ref,
    m.is_by_samples
from marked as m
inner join compared as c on m.path = c.path and m.property_ref = c.property_ref and m.surveyed_on = c.surveyed_on
window alike as (partition by m.path, m.surveyed_on, c.rows_said order by m.place, m.property_ref)
qualify row_number() over alike > 1
