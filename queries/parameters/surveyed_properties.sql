-- One row per property that some register row is about. Which properties were surveyed: somebody was inside and looked,
-- not only at the door, not only to take a sample of one thing, and not only in another home that was thought alike.
select
    e.property_ref,
    count(*) filter (
        where e.identification <> 'no_access' and e.survey_type is distinct from 'sampling' and c.property_ref is null
    ) > 0 as is_surveyed,
    (count(*) filter (where e.identification = 'no_access'))::integer as n_no_access,
    max(e.surveyed_on) as last_surveyed_on
from entries as e
left join cloned_properties as c
    on
        e.property_ref = c.property_ref
        and e.path = c.path
        and e.sheet is not distinct from c.sheet
        and e.surveyed_on is not distinct from c.surveyed_on
group by e.property_ref
order by e.property_ref
