-- One row per management area, or per era of the oldest part: how much was surveyed of homes, and beside them of common
-- parts, garages and what is not lived in, most of it under the duty to manage.
-- $by: area or era
with known as (
    select
        case when $by = 'era' then coalesce(e.era, 'year unknown') else b.area end as part,
        case when $by = 'era' then coalesce(e.from_year, 9999) else 0 end as place,
        p.part = 'home' as is_home,
        coalesce(s.is_surveyed, false) as is_surveyed,
        s.last_surveyed_on
    from properties as p
    inner join buildings as b on p.building_ref = b.building_ref
    left join reference.eras as e on p.oldest_year between e.from_year and e.to_year
    left join surveyed_properties as s on p.property_ref = s.property_ref
)

select
    part,
    count(*) as properties,
    count(*) filter (where is_surveyed) as surveyed,
    count(*) filter (where not is_surveyed) as never_surveyed,
    count(*) filter (where is_home) as homes,
    count(*) filter (where is_home and is_surveyed) as homes_surveyed,
    count(*) filter (where not is_home) as premises,
    count(*) filter (where not is_home and is_surveyed) as premises_surveyed,
    max(last_surveyed_on) filter (where is_surveyed) as last_surveyed_on
from known
group by part, place
order by place, part
