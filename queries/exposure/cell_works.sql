-- What each kind of work does in the cells of work in use. One row per cell and kind of work, with the numbers of both.
-- Kept as a step.
select
    s.cell_id,
    s.stratum_id,
    w.work_id,
    m.material_id,
    e.*,
    r.point as rate,
    r.low as rate_low,
    r.high as rate_high
from profile_sums as s
inner join exposure_profiles as e
    on s.profile_id = e.profile_id and s.scope = case when e.meets_one_room then 'room' else 'home' end
inner join numbered_works as w on e.work_type = w.work_type
inner join numbered_materials as m on e.contact_code = m.contact_code and e.product = m.product
inner join rates as r on e.work_type = r.work_type and s.stratum_id = r.stratum_id
where
    s.cell_id in (
        select cell_id
        from building_terms
    )
