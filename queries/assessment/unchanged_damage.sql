-- One row per entry whose condition is only said not to have changed, where an earlier entry of its item states one.
-- The damage of the latest such entry, of one day the worst, with the least and most that it can be.
-- Kept as a step.
with unchanged as (
    select
        r.entry_id,
        r.surveyed_on,
        l.item_id
    from readings as r
    inner join item_links as l on r.entry_id = l.entry_id
    where
        r.is_suspect
        and r.damage_text is not null
        and r.damage_term is null
        and r.damage_digit is null
        and not r.is_debris
        and is_unchanged(r.damage_text)
),

stated as (
    select
        l.item_id,
        l.entry_id,
        r.surveyed_on,
        r.damage_digit is null and not r.is_debris as is_word,
        case
            when r.damage_digit between 0 and 3 then r.damage_digit
            when r.is_debris then 3
            else d.score::integer
        end as damage_score,
        coalesce(r.damage_digit_low, if(is_word, d.low::integer, damage_score)) as damage_low,
        if(is_word, d.high::integer, damage_score) as damage_high
    from item_links as l
    inner join readings as r on l.entry_id = r.entry_id
    left join reference.damage_scores as d on r.damage_term = d.damage
    where
        l.item_id in (
            select u.item_id
            from unchanged as u
        )
        and r.is_suspect
)

select
    u.entry_id,
    arg_min(
        struct_pack(
            score := s.damage_score, low := s.damage_low, high := s.damage_high, surveyed_on := s.surveyed_on
        ),
        row(-epoch(s.surveyed_on), -s.damage_score, s.entry_id)
    ) as damage
from unchanged as u
inner join stated as s on u.item_id = s.item_id and u.surveyed_on > s.surveyed_on
where s.damage_score is not null
group by u.entry_id
