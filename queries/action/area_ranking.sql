-- Areas in the order in which to act: by their worst building, and by exposure. One row per area.
with gathered as (
    select
        b.area,
        min(r.rank) as best_rank,
        sum(b.homes)::integer as homes,
        count(*)::integer as buildings,
        sum(r.properties)::integer as properties,
        sum(r.properties_surveyed)::integer as properties_surveyed,
        sum(r.items)::integer as items,
        sum(r.items_act_now)::integer as items_act_now,
        sum(r.exceedances_known::decimal(38, 15))::double as exceedances_known,
        sum(r.exceedances_possible::decimal(38, 15))::double as exceedances_possible,
        sum(r.exceedances_controlled::decimal(38, 15))::double as exceedances_controlled
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
    group by b.area
),

covered as (
    select
        b.area,
        count(*) filter (where p.part = 'home') as of_homes,
        count(*) filter (where p.part = 'home' and s.is_surveyed) as homes,
        count(*) filter (where p.part <> 'home') as of_premises,
        count(*) filter (where p.part <> 'home' and s.is_surveyed) as premises
    from properties as p
    inner join buildings as b on p.building_ref = b.building_ref
    left join surveyed_properties as s on p.property_ref = s.property_ref
    group by b.area
),

first_of_all as (
    select
        r.rank as best_rank,
        b.name || ': ' || r.score_reason as in_words
    from building_ranking as r
    inner join buildings as b on r.building_ref = b.building_ref
)

select
    (row_number() over (order by g.items_act_now > 0 desc, g.best_rank))::integer as rank,
    n.rank_by_exposure,
    g.area,
    g.homes,
    g.buildings,
    g.properties,
    g.properties_surveyed,
    g.properties_surveyed / g.properties as surveyed_share,
    g.items,
    g.items_act_now,
    g.exceedances_known,
    g.exceedances_possible,
    g.exceedances_controlled,
    n.exceedances_controlled_low,
    n.exceedances_controlled_high,
    n.exceedances_low,
    n.exceedances_high,
    n.rank_low,
    n.rank_high,
    n.rank_group,
    concat_ws(
        '; ',
        case
            when g.items_act_now > 0
                then g.items_act_now || if(g.items_act_now = 1, ' item', ' items') || ' to act on now'
        end,
        g.items || if(g.items = 1, ' item', ' items') || ' in '
        || g.buildings || if(g.buildings = 1, ' building', ' buildings'),
        concat_ws(
            ' and ',
            case when c.of_homes > 0 then c.homes || ' of ' || c.of_homes || if(c.of_homes = 1, ' home', ' homes') end,
            case
                when c.of_premises > 0
                    then c.premises || ' of ' || c.of_premises || ' common parts and other premises'
            end
        ) || ' surveyed',
        'first comes ' || f.in_words
    ) as score_reason,
    exceeded(round(g.exceedances_known + g.exceedances_possible, 12), n.exceedances_low, n.exceedances_high, null)
    || ', ' || figure(g.exceedances_known) || ' at what is recorded and ' || figure(g.exceedances_possible)
    || ' at what was never looked for' as exposure_reason,
    score_reason || '. ' || exposure_reason as why
from gathered as g
inner join area_ranges as n on g.area = n.area
inner join covered as c on g.area = c.area
left join first_of_all as f on g.best_rank = f.best_rank
