-- One row per property and contact code. The default chance that a property built before 2000 holds a material, by
-- what it is and when it was built; the average over the bands where the year is unknown.
-- Kept as a step.
with limits as (
    select
        max(value) filter (where name = 'default_share_most') as share_most,
        max(value) filter (where name = 'year_where_unknown') as year_where_unknown
    from reference.limits
)

select
    c.property_ref,
    c.archetype,
    c.part,
    p.contact_code,
    least(
        l.share_most,
        avg(p.share::decimal(18, 6))::double
        * case when c.part = 'home' and c.dwelling = 'flat' then k.flat_factor else 1 end
        * coalesce(max(f.factor), 1)
    ) as share,
    max(p.uncertainty_factor) as uncertainty_factor
from property_cells as c
cross join limits as l
inner join reference.presence as p
    on c.part = p.part and (c.oldest_year is null or c.oldest_year between p.from_year and p.to_year)
inner join reference.contact_codes as k on p.contact_code = k.contact_code
left join reference.construction_factors as f
    on
        c.construction = f.construction
        and p.contact_code = f.contact_code
        and coalesce(c.oldest_year, l.year_where_unknown) between f.from_year and f.to_year
where c.is_before_2000
group by c.property_ref, c.archetype, c.part, c.dwelling, p.contact_code, k.flat_factor, l.share_most
