-- Where the properties stand, as the stock list says. One row per property with usable coordinates.
select
    property_ref,
    area,
    easting,
    northing
from stock_readings
where reason_code is null and easting is not null and northing is not null
order by property_ref
