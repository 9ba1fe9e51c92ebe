-- What a person could decide, most rows affected first. One row per question.
-- $kind: only questions of this kind, or null for all
-- $top: how many
select *
from open_questions
where $kind is null or kind = $kind
order by n_rows desc, kind, written
limit $top
