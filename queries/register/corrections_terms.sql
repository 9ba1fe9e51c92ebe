-- One row per row below its heading. What people decided about words, in corrections/terms.csv: the field, the word
-- as written, and the term it means.
-- Kept as a step.
with first_rows as (
    select
        path,
        min(row_number) as row_number
    from raw_rows
    where path = 'corrections/terms.csv'
    group by path
),

columns_named as (
    select
        f.path,
        f.row_number,
        list_transform(r.cells, lambda cell: lower(trim(cell))) as names
    from first_rows as f
    inner join raw_rows as r on f.path = r.path and f.row_number = r.row_number
),

answers as (
    select
        r.path,
        r.sheet,
        r.row_number,
        lower(trim(r.cells[list_position(c.names, 'field')])) as field,
        trim(r.cells[list_position(c.names, 'written')]) as written,
        lower(trim(r.cells[list_position(c.names, 'term')])) as term
    from columns_named as c
    inner join raw_rows as r on c.path = r.path and c.row_number < r.row_number
)

select
    a.*,
    case
        when coalesce(a.written, '') = '' then 'correction_names_nothing'
        when coalesce(a.term, '') = '' then 'correction_without_answer'
        when
            not exists (
                from reference.terms as t
                where t.field = a.field and t.term = a.term
            )
            then 'correction_unknown_term'
    end as reason_code
from answers as a
