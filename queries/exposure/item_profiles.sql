-- One row per item and scope. Which profile an item has, and its share of the work that meets its kind: among all of
-- its code in the property (scope home) and among those in its room (scope room).
select
    r.item_id,
    r.property_ref,
    r.scope,
    p.profile_id,
    r.share
from item_reaches as r
inner join profiles as p
    on
        r.contact_code = p.contact_code
        and r.product = p.product
        and r.damage = p.damage
        and r.sealing = p.sealing
        and r.reach_percent = p.reach_percent
order by r.property_ref, r.item_id, r.scope
