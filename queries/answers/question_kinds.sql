-- How much a person could decide, of each kind, most first. One row per kind of question, and one for all (kind null).
select
    kind,
    count(*) as n
from open_questions
group by rollup (kind)
order by kind is null, n desc, kind
