-- What each kind of work adds up to in a building, known and possible. One row per building and work type.
select
    t.building_ref,
    e.work_type,
    coalesce(
        sum((t.p_present * t.share * r.point * e.touched * e.p_over_control_limit)::decimal(38, 15))
        filter (where not starts_with(t.presence_key, 'possible')), 0
    )::double as exceedances_known,
    coalesce(
        sum((t.p_present * t.share * r.point * e.touched * e.p_over_control_limit)::decimal(38, 15))
        filter (where starts_with(t.presence_key, 'possible')), 0
    )::double as exceedances_possible
from building_terms as t
inner join exposure_profiles as e
    on t.profile_id = e.profile_id and t.scope = case when e.meets_one_room then 'room' else 'home' end
inner join rates as r on e.work_type = r.work_type and t.dwelling = r.dwelling and t.area = r.area
where r.point > 0
group by t.building_ref, e.work_type
