-- One row per table that only repeats items of another sheet of its workbook, as a column says that has their numbers
-- in the register (`Reg. item`): an action list, a list by score.
-- Kept as a step.
with numbered as (
    select
        c.table_id,
        c.position,
        c.heading,
        t.path,
        t.sheet,
        regexp_matches(c.heading, '(?i)^\W*reg(ister)?\.?\s*(item|line|row|entry)\b') as is_of_other
    from columns_read as c
    inner join heading_rows as t on c.table_id = t.table_id
    where
        t.kind = 'registers'
        and (
            is_of_other
            or regexp_matches(c.heading, '(?i)^\W*(item|line|entry|ref|no|nr|id)\W*(no|nr|ref|number|id)?\W*$')
        )
),

told as (
    select
        n.table_id,
        n.heading,
        n.path,
        n.sheet,
        n.is_of_other,
        regexp_replace(lower(r.cells[n.position]), '\.0$', '') as number
    from numbered as n
    inner join table_rows as r on n.table_id = r.table_id
    where
        r.line = 'item'
        and n.path in (
            select o.path
            from numbered as o
            where o.is_of_other
        )
),

-- A number that stands for several items tells of none.
met as (
    select
        t.table_id,
        t.heading,
        t.number,
        count(o.number) = 1 as is_met
    from told as t
    left join told as o on t.path = o.path and t.sheet <> o.sheet and t.number = o.number and not o.is_of_other
    where t.is_of_other and t.number <> ''
    group by t.table_id, t.heading, t.number
)

select
    m.table_id,
    min(m.heading) as heading
from met as m
cross join reference.limits as l
where l.name = 'extract_met_least'
group by m.table_id
having count(*) > 1 and count(*) filter (where m.is_met) >= max(l.value) * count(*)
