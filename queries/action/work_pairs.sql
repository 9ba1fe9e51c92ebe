-- One row per work type, contact code, product and task. What each kind of work adds up to on each kind of material in
-- the whole portfolio, with and without control, and at the ends of each parameter's range.
with terms as (
    select
        cell_id,
        presence_id,
        sum(share::decimal(38, 15))::double as share
    from building_terms
    group by cell_id, presence_id
),

valued as (
    select
        w.work_type,
        w.contact_code,
        w.product,
        w.task,
        p.point * t.share * w.rate * w.touched * w.p_over_control_limit as x,
        x * coalesce(w.p_over_control_limit_controlled, w.p_over_control_limit) / w.p_over_control_limit as controlled,
        x * w.rate_low / w.rate as rate_low,
        x * w.rate_high / w.rate as rate_high,
        x * w.touched_low / w.touched as contact_low,
        x * w.touched_high / w.touched as contact_high,
        x * w.p_over_control_limit_low / w.p_over_control_limit as release_low,
        x * w.p_over_control_limit_high / w.p_over_control_limit as release_high,
        x * p.low / p.point as presence_low,
        x * p.high / p.point as presence_high,
        w.p_over_control_limit_controlled is not null as has_control
    from terms as t
    inner join presence_ranges as p on t.presence_id = p.presence_id
    inner join cell_works as w on t.cell_id = w.cell_id
    where w.rate > 0 and p.point > 0 and w.touched > 0
)

select
    work_type,
    contact_code,
    product,
    task,
    sum(x::decimal(38, 15))::double as exceedances,
    sum(controlled::decimal(38, 15))::double as exceedances_controlled,
    bool_and(has_control) as has_control,
    sum(rate_low::decimal(38, 15))::double as rate_low,
    sum(rate_high::decimal(38, 15))::double as rate_high,
    sum(contact_low::decimal(38, 15))::double as contact_low,
    sum(contact_high::decimal(38, 15))::double as contact_high,
    sum(release_low::decimal(38, 15))::double as release_low,
    sum(release_high::decimal(38, 15))::double as release_high,
    sum(presence_low::decimal(38, 15))::double as presence_low,
    sum(presence_high::decimal(38, 15))::double as presence_high
from valued
group by work_type, contact_code, product, task
