-- The dates that files hold, as written. One row per file and text.
with written as (
    select
        path,
        surveyed_on as written
    from register_lines
    where line = 'item'
    union
    select
        path,
        done_on as written
    from works_lines
    where line = 'item'
    union
    select
        path,
        raised_on as written
    from works_lines
    where line = 'item'
    union
    select
        path,
        analysed_on as written
    from sample_lines
    where line = 'item'
    union
    select
        path,
        surveyed_on as written
    from sample_lines
    where line = 'item'
)

select
    path,
    written
from written
where written is not null
order by path, written
