-- What a person could decide, most rows affected first. One row per question.
-- $top: how many
select *
from open_questions
order by n_rows desc, kind, written
limit $top
