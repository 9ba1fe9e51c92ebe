-- How likely an unsurveyed property of an archetype holds a material. One row per archetype, part and contact code.
select
    c.archetype,
    c.part,
    c.contact_code,
    c.default_share,
    l.point,
    l.low,
    l.high,
    c.n_surveyed,
    c.found,
    case
        when c.n_surveyed = 0 then 'default (J) by era, none of the archetype surveyed'
        else 'archetype, ' || c.n_surveyed || ' surveyed, over the default (J)'
    end as basis
from presence_counts as c
inner join learned_presence as l
    on c.archetype = l.archetype and c.part = l.part and c.contact_code = l.contact_code
