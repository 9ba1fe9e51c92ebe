-- Every figure that the exposure rests on, with its range and its basis. One row per parameter.
-- Kept as a view.
select
    'rate' as name,
    json_object('work_type', work_type, 'dwelling', dwelling, 'area', area) as keys,
    point,
    low,
    high,
    n::double as n,
    basis
from rates
union all
select
    'contact' as name,
    json_object('work_type', work_type, 'contact_code', contact_code, 'task', task) as keys,
    contact as point,
    contact / uncertainty_factor as low,
    least(1, contact * uncertainty_factor) as high,
    null::double as n,
    basis
from contact_cells
union all
select
    'minutes' as name,
    json_object('work_type', work_type, 'contact_code', contact_code, 'task', task) as keys,
    minutes as point,
    minutes as low,
    minutes as high,
    null::double as n,
    minutes_basis as basis
from contact_cells
union all
select
    'release' as name,
    json_object('product', product, 'task', task, 'control', control) as keys,
    gm_f_per_ml as point,
    gm_f_per_ml / uncertainty_factor as low,
    gm_f_per_ml * uncertainty_factor as high,
    null::double as n,
    basis
from release_cells
union all
select
    'positive share' as name,
    json_object('contact_code', contact_code, 'era', era) as keys,
    point,
    low,
    high,
    null::double as n,
    basis
from positive_shares
union all
select
    'model' as name,
    json_object('name', name, 'meaning', meaning) as keys,
    point,
    coalesce(low, point) as low,
    coalesce(high, point) as high,
    null::double as n,
    basis
from model_figures
union all
select
    'place share' as name,
    json_object('part', part, 'place', place, 'contact_code', contact_code) as keys,
    share as point,
    share as low,
    share as high,
    null::double as n,
    basis
from place_share_cells
union all
select
    'usual reach' as name,
    json_object('contact_code', contact_code) as keys,
    usual_reach as point,
    usual_reach as low,
    usual_reach as high,
    null::double as n,
    reach_basis as basis
from usual_items
union all
select
    'usual extent' as name,
    json_object('contact_code', contact_code) as keys,
    usual_extent as point,
    usual_extent as low,
    usual_extent as high,
    null::double as n,
    extent_basis as basis
from usual_items
union all
select
    'usual room extent' as name,
    json_object('contact_code', contact_code) as keys,
    usual_room_extent as point,
    usual_room_extent as low,
    usual_room_extent as high,
    null::double as n,
    room_extent_basis as basis
from usual_items
union all
select
    'presence' as name,
    json_object('archetype', archetype, 'part', part, 'contact_code', contact_code) as keys,
    point,
    low,
    high,
    n_surveyed::double as n,
    basis
from presence
