-- One row per work type, contact code, product and task. What each kind of work adds up to on each kind of material in
-- the whole portfolio, with and without control, and at the ends of each parameter's range.
with terms as (
    select
        profile_id,
        scope,
        dwelling,
        area,
        presence_key,
        max(p_present) as p_present,
        sum(share::decimal(38, 15))::double as share
    from building_terms
    group by profile_id, scope, dwelling, area, presence_key
),

valued as (
    select
        e.work_type,
        e.contact_code,
        e.product,
        e.task,
        t.p_present * t.share * r.point * e.touched * e.p_over_control_limit as x,
        x * coalesce(e.p_over_control_limit_controlled, e.p_over_control_limit) / e.p_over_control_limit as controlled,
        x * r.low / r.point as rate_low,
        x * r.high / r.point as rate_high,
        x * e.touched_low / e.touched as contact_low,
        x * e.touched_high / e.touched as contact_high,
        x * e.p_over_control_limit_low / e.p_over_control_limit as release_low,
        x * e.p_over_control_limit_high / e.p_over_control_limit as release_high,
        x * p.low / t.p_present as presence_low,
        x * p.high / t.p_present as presence_high,
        e.p_over_control_limit_controlled is not null as has_control
    from terms as t
    inner join exposure_profiles as e
        on t.profile_id = e.profile_id and t.scope = case when e.meets_one_room then 'room' else 'home' end
    inner join rates as r on e.work_type = r.work_type and t.dwelling = r.dwelling and t.area = r.area
    inner join presence_ranges as p on t.presence_key = p.presence_key
    where r.point > 0 and t.p_present > 0 and e.touched > 0
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
