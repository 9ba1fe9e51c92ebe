-- One row per register row whose material is not known and that names a sample taken elsewhere (`Boxing, as S12`): the
-- material of the rows of its file that took it, where all of them name the same.
-- Kept as a step.
with referring as (
    select
        s.path,
        s.sheet,
        s.row_number,
        k.key
    from register_samples as s
    inner join sample_keys as k on coalesce(s.sample_of_job, s.sample) = k.written
    left join recognised_words as w on w.field = 'product' and s.product = w.written
    where s.is_reference and s.product is not null and w.term is null
),

taken as (
    select
        s.path,
        k.key,
        min(w.term) as product
    from register_samples as s
    inner join sample_keys as k on coalesce(s.sample_of_job, s.sample) = k.written
    inner join recognised_words as w on w.field = 'product' and s.product = w.written
    where
        not s.is_reference
        and w.term not in ('none', 'not_asbestos')
        and (s.path, k.key) in (
            select (r.path, r.key)
            from referring as r
        )
    group by s.path, k.key
    having min(w.term) = max(w.term)
)

select
    r.path,
    r.sheet,
    r.row_number,
    min(t.product) as product
from referring as r
inner join taken as t on r.path = t.path and r.key = t.key
group by r.path, r.sheet, r.row_number
having min(t.product) = max(t.product)
