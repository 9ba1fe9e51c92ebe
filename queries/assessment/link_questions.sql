-- Whether something named for the first time is an item of before, where that is likely but not sure. One row per thing
-- named for the first time.
with firsts as (
    select
        i.thing_id,
        arg_min(
            struct_pack(
                cells := [r.path, coalesce(r.sheet, ''), r.row_number::varchar, r.part::varchar],
                said := concat_ws(
                    ', ', r.path, r.sheet, 'row ' || r.row_number, r.room_text, r.product_text, r.extent_text,
                    strftime(r.surveyed_on, '%-d %b %Y')
                )
            ),
            row(i.visit_on, r.path, r.sheet, r.row_number, r.part)
        ) as entry,
        count(*)::integer as n_rows
    from item_rows as i
    inner join readings as r on i.entry_id = r.entry_id
    where
        i.thing_id in (
            select thing_id
            from link_doubts
        )
        or i.thing_id in (
            select root_id
            from link_doubts
        )
    group by i.thing_id
)

select
    'item link' as kind,
    'Is this one of these items, written otherwise?' as question,
    max(b.n_rows) as n_rows,
    max(b.entry.said) as written,
    max(b.entry.cells) as asked,
    list(
        a.entry.said || ': ' || d.reason
        order by d.strength desc, d.root_id
    ) as candidates,
    list(a.entry.cells order by d.strength desc, d.root_id) as answers,
    'corrections/links.csv' as answer_in,
    'path,sheet,row,part,item_path,item_sheet,item_row,item_part,who,on,why' as answer_heading,
    array_to_string(
        list_transform(
            list_concat(asked, answers[1]),
            lambda cell: '"' || replace(cell, '"', '""') || '"'
        ), ','
    )
    || ',,,' as answer_line
from link_doubts as d
inner join firsts as b on d.thing_id = b.thing_id
inner join firsts as a on d.root_id = a.thing_id
group by d.thing_id
