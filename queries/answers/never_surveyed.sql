-- One row per property. Homes and parts that nobody has surveyed, and what is likeliest to be in them, the most
-- expected exposure first.
-- $area: only this management area, or null for all
-- $era: only those whose oldest part was built in this era, or null
with likely as (
    select
        p.property_ref,
        list(printf('%s (%.0f %%)', k.short, 100 * p.p_present) order by p.p_present desc, p.contact_code)[:3]
            as materials,
        sum(e.exceedances::decimal(38, 15))::double as exceedances
    from possible_items as p
    inner join reference.contact_codes as k on p.contact_code = k.contact_code
    inner join possible_sums as e on p.property_ref = e.property_ref and p.contact_code = e.contact_code
    group by p.property_ref
)

select
    p.property_ref,
    p.building_ref,
    p.uprn,
    p.address,
    p.postcode,
    b.area,
    p.part,
    p.dwelling_type,
    p.oldest_year,
    coalesce(s.n_no_access, 0) as n_no_access,
    coalesce(array_to_string(l.materials, ', '), '') as likeliest,
    coalesce(l.exceedances, 0) as exceedances
from properties as p
inner join buildings as b on p.building_ref = b.building_ref
left join surveyed_properties as s on p.property_ref = s.property_ref
left join reference.eras as e on p.oldest_year between e.from_year and e.to_year
left join likely as l on p.property_ref = l.property_ref
where
    not coalesce(s.is_surveyed, false)
    and ($area is null or b.area = $area)
    and ($era is null or coalesce(e.era, 'year unknown') = $era)
order by exceedances desc, p.property_ref
