-- What each kind of work adds up to in a building, most first. One row per work type that meets something there.
-- $building_ref: which building
select
    w.in_words as work,
    w.done_by,
    b.exceedances_known,
    b.exceedances_possible,
    b.exceedances_known + b.exceedances_possible as exceedances
from building_works as b
inner join reference.work_types as w on b.work_type = w.work_type
where b.building_ref = $building_ref and b.exceedances_known + b.exceedances_possible > 0
order by exceedances desc, b.work_type
