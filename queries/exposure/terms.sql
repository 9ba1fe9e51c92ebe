-- One row per term. The terms of every sum: of buildings, numbered from 0 in the order of their references, then of
-- each kind of what was never looked for.
with terms as (
    select
        building_id - 1 as sum_number,
        cell_id,
        presence_id,
        share
    from building_terms
    union all
    select
        p.possible_number + (
            select count(*)
            from building_numbers
        )::integer as sum_number,
        p.cell_id,
        p.presence_id,
        1 as share
    from possible_kinds as p
)

select *
from terms
order by sum_number, cell_id, presence_id
