-- One row per archetype, part and contact code. How likely an unsurveyed property of an archetype holds a material: the
-- landlord's own figure, else what surveys and the default say.
with own as (
    select
        c.archetype,
        c.part,
        c.contact_code,
        o.point,
        coalesce(o.low, o.point / c.uncertainty_factor) as low,
        coalesce(o.high, least(1, o.point * c.uncertainty_factor)) as high,
        row_number() over (
            partition by c.archetype, c.part, c.contact_code
            order by (o.archetype is null), (o.part is null), o.path, o.sheet, o.row_number
        ) as nth
    from presence_counts as c
    inner join own_parameters as o
        on
            o.reason_code is null
            and o.name = 'presence'
            and c.contact_code = o.contact_code
            and (o.archetype is null or c.archetype = o.archetype)
            and (o.part is null or c.part = o.part)
)

select
    c.archetype,
    c.part,
    c.contact_code,
    c.default_share,
    coalesce(o.point, l.point) as point,
    coalesce(o.low, l.low) as low,
    coalesce(o.high, l.high) as high,
    c.n_surveyed,
    c.found,
    case
        when o.point is not null then 'own'
        when c.n_surveyed = 0 then 'default (J) by era, none of the archetype surveyed'
        else 'archetype, ' || c.n_surveyed || ' surveyed, over the default (J)'
    end as basis
from presence_counts as c
left join learned_presence as l
    on c.archetype = l.archetype and c.part = l.part and c.contact_code = l.contact_code
left join own as o
    on c.archetype = o.archetype and c.part = o.part and c.contact_code = o.contact_code and o.nth = 1
where coalesce(o.point, l.point) > 0
