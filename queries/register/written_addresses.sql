-- The addresses whose parts are sought. One row per distinct address and postcode as written in the stock list (names
-- of blocks too), a register or a job list.
with written as (
    select
        address,
        postcode,
        true as in_stock
    from stock_readings
    where address is not null
    union all
    select
        building_name as address,
        postcode,
        true as in_stock
    from stock_readings
    where building_name is not null
    union all
    select
        address_read as address,
        postcode,
        false as in_stock
    from named_properties
    where address_read is not null
)

select
    address,
    postcode,
    bool_or(in_stock) as in_stock,
    bool_or(not in_stock) as is_said
from written
group by address, postcode
order by address, postcode nulls first
