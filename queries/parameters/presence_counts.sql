-- One row per archetype, part and contact code. In how many surveyed properties of an archetype a material was found,
-- beside the default. A property where nothing was found counts as far as it was looked at, one with a find at least as
-- far as that is asbestos.
-- Kept as a step.
select
    archetype,
    part,
    contact_code,
    avg(default_share::decimal(18, 12))::double as default_share,
    max(uncertainty_factor)::double as uncertainty_factor,
    (count(*) filter (where is_surveyed))::integer as n_surveyed,
    coalesce(
        sum(greatest(looked_share, coalesce(p_found, 0))::decimal(18, 12)) filter (where is_surveyed), 0
    )::double as n,
    coalesce(sum(p_found::decimal(18, 12)) filter (where is_surveyed), 0)::double as found
from looked_for
group by archetype, part, contact_code
