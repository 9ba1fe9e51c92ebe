-- What each kind of work does to each profile. One row per profile and work type.
select *
from profile_lines
order by profile_id, work_type
