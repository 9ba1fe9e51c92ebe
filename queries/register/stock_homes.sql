-- One row per home of the stock list and unit at a street or block that its address says it is.
-- Kept as a view of steps.
select
    p.property_ref,
    c.unit,
    c.name,
    c.postcode_key
from stock_properties as p
inner join stock_claims as c on p.address = c.address and p.postcode is not distinct from c.postcode
where c.likeness = 'name'
