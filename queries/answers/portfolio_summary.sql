-- The portfolio in numbers, and what they mean and do not. One row per portfolio (there is one).
with in_buildings as (
    select
        count(*) as buildings,
        count(*) filter (where items_act_now > 0) as buildings_act_now,
        coalesce(sum(properties), 0)::integer as properties,
        coalesce(sum(properties_surveyed), 0)::integer as properties_surveyed,
        coalesce(sum(exceedances_known::decimal(38, 15)), 0)::double as exceedances_known,
        coalesce(sum(exceedances_possible::decimal(38, 15)), 0)::double as exceedances_possible,
        coalesce(sum(exceedances_controlled::decimal(38, 15)), 0)::double as exceedances_controlled
    from building_ranking
),

-- Homes, and beside them common parts, garages and what is not lived in: most of that is under the duty to manage.
covered as (
    select
        count(*) filter (where p.part = 'home') as homes,
        count(*) filter (where p.part = 'home' and s.is_surveyed) as homes_surveyed,
        count(*) filter (where p.part <> 'home') as premises,
        count(*) filter (where p.part <> 'home' and s.is_surveyed) as premises_surveyed
    from properties as p
    left join surveyed_properties as s on p.property_ref = s.property_ref
),

in_items as (
    select
        count(*) as items,
        count(*) filter (where act_now) as items_act_now,
        count(*) filter (where material_band in ('medium', 'high')) as items_medium_or_high,
        count(*) filter (where material_low < material_high) as items_with_range
    from items
    where status not in ('removed', 'not_detected')
)

select
    b.*,
    c.*,
    b.exceedances_known + b.exceedances_possible as exceedances,
    n.exceedances_low,
    n.exceedances_high,
    n.exceedances_controlled_low,
    n.exceedances_controlled_high,
    i.*,
    exceeded(b.exceedances_known + b.exceedances_possible, n.exceedances_low, n.exceedances_high, null) as exposure,
    remaining(b.exceedances_controlled, n.exceedances_controlled_low, n.exceedances_controlled_high)
    || '.' as controlled_in_words,
    (
        select json_extract_string(settings, '$.priority_rounding')
        from runs
    ) as priority_rounding,
    'An exceedance is a time that somebody works on or beside a material and the air is above the control limit of '
    || '0.1 fibres/ml in the mean of 4 hours.' as exceedance_in_words,
    'Expected figures are worked out from central values of the parameters, whose ranges reach further up than down: '
    || 'the truth is likelier to lie above them than below.'
    || coalesce(
        ' Over all that the parameters may be the mean is ' || figure(n.exceedances_mean) || ' exceedances a year.', ''
    ) as central_in_words
from in_buildings as b
cross join covered as c
cross join in_items as i
left join portfolio_ranges as n on true
