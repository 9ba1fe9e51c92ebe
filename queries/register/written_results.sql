-- What laboratories wrote of what they found. One row per distinct text.
with written as (
    select analysis_result as written
    from sample_lines
    where line = 'item'
    union
    select asbestos_types as written
    from sample_lines
    where line = 'item'
)

select written
from written
where written is not null
order by written
