-- How often each kind of work is done, with its range, to be drawn. One row per work type and stratum; the area is
-- blank where the rate is the same in all, which are then drawn together.
select
    work_type,
    stratum_id,
    dwelling,
    if(basis = 'default (J)', '', area) as area,
    point,
    low,
    high
from rates
order by work_type, stratum_id
