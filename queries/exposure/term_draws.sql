-- One row per building, cell of work, source of the chance of being there, kind of work and draw. What a building's
-- exposure is made of in each joint draw of the shared parameters, from which every range comes: exceedances a year
-- without and with control, and what is expected of both.
-- Kept as a view.
with terms as (
    select
        n.building_ref,
        e.contact_code,
        e.product,
        e.work_type,
        p.is_possible,
        t.share,
        t.share * p.point * r.point * e.touched * e.p_over_control_limit as expected,
        t.share * p.point * r.point * e.touched
        * coalesce(e.p_over_control_limit_controlled, e.p_over_control_limit) as expected_controlled,
        p.present,
        r.often,
        c.touched,
        x.over,
        x.over_controlled
    from building_terms as t
    inner join building_numbers as n on t.building_id = n.building_id
    inner join presence_draws as p on t.presence_id = p.presence_id
    inner join exposure_profiles as e
        on cell_profile(t.cell_id) = e.profile_id and cell_is_room(t.cell_id) = e.meets_one_room
    inner join rate_draws as r on e.work_type = r.work_type and cell_stratum(t.cell_id) = r.stratum_id
    inner join touch_draws as c on e.touch_id = c.touch_id
    inner join release_draws as x on e.release_id = x.release_id
),

drawn as (
    select
        * exclude (present, often, touched, over, over_controlled),
        generate_subscripts(present, 1)::integer as draw,
        unnest(present)::double as present,
        unnest(often)::double as often,
        unnest(touched)::double as touched,
        unnest(over)::double as over,
        unnest(over_controlled)::double as over_controlled
    from terms
)

select
    building_ref,
    contact_code,
    product,
    is_possible,
    work_type,
    draw,
    expected,
    expected_controlled,
    share * present * often * touched * over as exceedances,
    share * present * often * touched * over_controlled as exceedances_controlled
from drawn
