-- One row per surveyed property, contact code and place that could not be entered then or later, or thing that could
-- not be opened (boxing, duct, flue ...): what share of such material stands there. A home that nobody could enter is
-- shut whole; where no place was recognised it may be any of them.
with kept_apart as (
    select distinct
        part,
        place
    from place_share_cells
),

shut as (
    select
        e.property_ref,
        p.part,
        case
            when e.place = 'whole_home' then e.place
            else coalesce(thing.place, room.place, 'other')
        end as place,
        max(coalesce(e.surveyed_on, '9999-12-31'::date)) as surveyed_on
    from entries as e
    inner join properties as p on e.property_ref = p.property_ref
    left join kept_apart as thing on p.part = thing.part and e.element = thing.place
    left join kept_apart as room on p.part = room.part and e.place = room.place
    where e.identification = 'no_access'
    group by all
),

shut_still as (
    select
        s.property_ref,
        s.part,
        s.place
    from shut as s
    where
        not exists (
            from entries as e
            where
                e.property_ref = s.property_ref
                and s.place in (e.place, e.element, 'whole_home')
                and e.identification <> 'no_access'
                and e.surveyed_on > s.surveyed_on
        )
),

standing as (
    select
        s.property_ref,
        k.contact_code,
        s.place,
        k.share,
        if(k.basis = 'own', 'own', 'J') as basis
    from shut_still as s
    inner join place_share_cells as k on s.part = k.part and s.place = k.place
    where
        s.property_ref not in (
            select property_ref
            from shut_still
            where place = 'whole_home'
        )
    union all
    select
        s.property_ref,
        u.contact_code,
        u.place,
        1 as share,
        'J' as basis
    from shut_still as s
    inner join reference.usual_places as u on s.part = u.part
    where s.place = 'whole_home'
)

select
    property_ref,
    contact_code,
    place,
    share / greatest(1, sum(share::decimal(18, 12)) over (partition by property_ref, contact_code))::double as share,
    basis
from standing
where
    property_ref in (
        select property_ref
        from surveyed_properties
        where is_surveyed
    )
order by property_ref, contact_code, place
