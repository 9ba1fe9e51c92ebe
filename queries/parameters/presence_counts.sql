-- One row per archetype, part and contact code. In how many surveyed properties of an archetype a material was found,
-- beside the default.
-- Kept as a step.
select
    archetype,
    part,
    contact_code,
    avg(default_share::decimal(18, 12))::double as default_share,
    max(uncertainty_factor)::double as uncertainty_factor,
    count(*) filter (where was_looked_for) as n,
    coalesce(sum(p_found::decimal(18, 12)) filter (where was_looked_for), 0)::double as found
from looked_for
group by archetype, part, contact_code
having avg(default_share) > 0
