-- The addresses of registers, job lists and laboratories whose parts are sought. One row per distinct address and
-- postcode as written.
select distinct
    address_read as address,
    postcode
from named_properties
where address_read is not null
order by address, postcode nulls first
