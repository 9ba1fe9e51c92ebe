-- What was read with a flag, by kind of doubt, most open first. One row per doubt.
select
    d.doubt,
    f.field,
    f.kind,
    k.meaning,
    replace(f.reason, '{value}', '...') as reason,
    count(*) filter (where d.accepted_by is null and f.kind <> 'corrected') as n_open,
    count(*) filter (where d.accepted_by is not null) as n_accepted,
    count(*) as n
from doubts as d
inner join reference.doubts as f on d.doubt = f.doubt
left join reference.doubt_kinds as k on f.kind = k.kind
group by d.doubt, f.field, f.kind, k.meaning, f.reason
order by n_open desc, d.doubt
