-- One row per property that some register row is about. Which properties were surveyed: somebody was inside and looked,
-- not only at the door, and not only to take a sample of one thing.
select
    property_ref,
    count(*) filter (
        where identification <> 'no_access' and survey_type is distinct from 'sampling'
    ) > 0 as is_surveyed,
    (count(*) filter (where identification = 'no_access'))::integer as n_no_access,
    max(surveyed_on) as last_surveyed_on
from entries
group by property_ref
order by property_ref
