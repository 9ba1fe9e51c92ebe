-- The counts that rates are learned from. One row per work type, dwelling and area.
select *
from rate_counts
order by work_type, dwelling, area
