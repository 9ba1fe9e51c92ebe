-- What the job lists say of work. One row per work type, description and trade as written.
select
    work_type,
    description,
    trade,
    count(*) as n_rows
from works_lines
where line = 'item' and coalesce(work_type, description) is not null
group by work_type, description, trade
order by work_type, description, trade
