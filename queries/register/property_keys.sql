-- Addresses boiled down so that equal ones are equal. One row per distinct address and postcode as written,
-- in the stock list, a register or a job list.
-- Kept as a step.
with written as (
    select
        address,
        postcode
    from stock_readings
    where address is not null
    union
    select
        address,
        postcode
    from named_properties
    where address is not null
),

boiled as (
    select
        *,
        trim(regexp_replace(lower(address), '[^a-z0-9]+', ' ', 'g')) as words,
        regexp_extract(words, '([a-z]{1,2}[0-9][a-z0-9]?) ?([0-9][a-z]{2})$') as postcode_within
    from written
)

select
    address,
    postcode,
    trim(left(words, length(words) - length(postcode_within))) as address_key,
    coalesce(
        nullif(regexp_replace(lower(postcode), '[^a-z0-9]', '', 'g'), ''),
        nullif(replace(postcode_within, ' ', ''), '')
    ) as postcode_key
from boiled
