-- One row per question. What headings that are questions ask for, the surest first.
select
    pattern,
    field
from reference.heading_questions
order by nth
