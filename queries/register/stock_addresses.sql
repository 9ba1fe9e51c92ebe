-- The addresses of the stock list, names of blocks too. One row per distinct address and postcode as written.
select
    coalesce(address, property_ref) as address,
    upper(postcode) as postcode
from stock_lines
where line <> 'layout' and coalesce(address, property_ref) is not null
union
select
    building_name as address,
    upper(postcode) as postcode
from stock_lines
where line <> 'layout' and building_name is not null
order by address, postcode nulls first
