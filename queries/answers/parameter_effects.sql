-- One row per parameter. How far the portfolio's total moves when one parameter goes from the low to the high end of
-- its range and all others stay, most first.
-- $top: how many
with rate_bases as (
    select
        work_type,
        max(basis) as basis
    from rates
    group by work_type
),

moved as (
    select
        'How often: ' || w.in_words as parameter,
        sum(p.rate_high - p.rate_low) as movement,
        sum(p.exceedances) as exceedances,
        min(r.basis) as basis
    from work_pairs as p
    inner join reference.work_types as w on p.work_type = w.work_type
    inner join rate_bases as r on p.work_type = r.work_type
    group by w.in_words
    union all
    select
        'Contact: ' || w.in_words || ', ' || k.short as parameter,
        sum(p.contact_high - p.contact_low) as movement,
        sum(p.exceedances) as exceedances,
        min(c.basis) as basis
    from work_pairs as p
    inner join reference.work_types as w on p.work_type = w.work_type
    inner join reference.contact_codes as k on p.contact_code = k.contact_code
    inner join contact_cells as c
        on p.work_type = c.work_type and p.contact_code = c.contact_code and p.task = c.task
    group by w.in_words, k.short
    union all
    select
        'Release: ' || replace(p.product, '_', ' ') || ', ' || lower(c.in_words) as parameter,
        sum(p.release_high - p.release_low) as movement,
        sum(p.exceedances) as exceedances,
        min(c.basis) as basis
    from work_pairs as p
    inner join release_cells as c on p.product = c.product and p.task = c.task and c.control = 'uncontrolled'
    group by p.product, c.in_words
    union all
    select
        'Being there: ' || k.short as parameter,
        sum(p.presence_high - p.presence_low) as movement,
        sum(p.exceedances) as exceedances,
        'surveys and defaults (J)' as basis
    from work_pairs as p
    inner join reference.contact_codes as k on p.contact_code = k.contact_code
    group by k.short
)

select
    parameter,
    movement,
    exceedances,
    basis
from moved
order by movement desc, parameter
limit $top
