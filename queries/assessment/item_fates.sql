-- One row per item of which some row says that it was removed or not found: what became of it. The latest visit
-- decides; an item not found after it was said to be removed stays so; once seen again, it is there.
-- Kept as a step.
with told as (
    select distinct l.item_id
    from item_links as l
    inner join reported_fates as f on l.entry_id = f.entry_id
),

visits as (
    select
        l.item_id,
        coalesce(r.surveyed_on, '9999-12-31'::date) as visit_on,
        count(*) filter (where f.fate = 'removed') as n_removed,
        count(*) filter (where f.fate = 'not_found') as n_not_found,
        coalesce(bool_or(f.has_evidence), false) as has_evidence,
        case
            when count(*) filter (where f.fate = 'part_removed') > 0 then 'part_removed'
            when n_removed + n_not_found = count(*) then if(n_removed > 0, 'removed', 'not_found')
            when n_removed > 0 then 'part_removed'
            else 'seen'
        end as said
    from told as t
    inner join item_links as l on t.item_id = l.item_id
    inner join readings as r on l.entry_id = r.entry_id
    left join reported_fates as f on l.entry_id = f.entry_id
    group by l.item_id, visit_on
),

ordered as (
    select
        *,
        coalesce(
            max(case when said in ('seen', 'part_removed') then visit_on end) over (partition by item_id),
            '0001-01-01'::date
        ) as last_seen_on
    from visits
    qualify visit_on < '9999-12-31' or min(visit_on) over (partition by item_id) = '9999-12-31'
)

select
    item_id,
    case
        when bool_or(said = 'removed' and visit_on > last_seen_on)
            then if(bool_or(said = 'removed' and has_evidence and visit_on > last_seen_on), 'removed', 'said_removed')
        when max(visit_on) > max(last_seen_on) then 'not_found'
        when bool_or(said = 'part_removed') then 'part_removed'
        else 'present'
    end as status,
    coalesce(bool_or(said = 'removed' and visit_on < last_seen_on), false) as is_seen_again
from ordered
group by item_id
