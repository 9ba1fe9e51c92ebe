-- The dates that files hold, as written, and by whom. One row per file, surveyor and text.
with written as (
    select
        path,
        surveyor as hand,
        surveyed_on as written
    from register_lines
    where line = 'item'
    union
    select
        path,
        null as hand,
        done_on as written
    from works_lines
    where line = 'item'
    union
    select
        path,
        null as hand,
        raised_on as written
    from works_lines
    where line = 'item'
    union
    select
        path,
        null as hand,
        analysed_on as written
    from sample_lines
    where line = 'item'
    union
    select
        path,
        null as hand,
        surveyed_on as written
    from sample_lines
    where line = 'item'
)

select
    path,
    hand,
    written
from written
where written is not null
order by path, hand nulls first, written
