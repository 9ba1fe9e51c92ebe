-- References boiled down, step by step, so that equal ones are equal. One row per distinct text that may be a
-- reference or a UPRN, in the stock list, a register or a job list.
-- Kept as a step.
with written as (
    select property_ref as written
    from stock_properties
    union
    select building_ref as written
    from stock_properties
    union
    select property_ref as written
    from named_properties
    union
    select uprn as written
    from named_properties
    union
    select address as written
    from named_properties
    where regexp_matches(address, '^[0-9][0-9 ]{7,14}[0-9]$')
),

split as (
    select
        written,
        upper(regexp_replace(written, '\s+', '', 'g')) as same,
        regexp_extract(same, '^([0-9])\.?([0-9]*)E\+?([0-9]{1,2})$', ['first', 'decimals', 'exponent']) as parts
    from written
    where written is not null
),

mended as (
    select
        written,
        same,
        try_cast(parts.exponent as integer) as exponent,
        length(parts.decimals) as n_decimals,
        case
            when n_decimals >= exponent then try_cast(same as decimal(38, 18))::bigint::varchar
            else regexp_replace(same, '^([0-9]+)\.0+$', '\1')
        end as text
    from split
),

marked as (
    select
        *,
        trim(
            regexp_replace(regexp_replace(text, '[^A-Z0-9]+', '-', 'g'), '-*([A-Z]+)-*', '\1', 'g'), '-'
        ) as marks,
        regexp_replace(marks, '(^|[A-Z-])0+([0-9])', '\1\2', 'g') as zeros,
        regexp_extract(replace(text, ',', ''), '^0*([1-9][0-9]{0,11})$', 1) as digits
    from mended
)

select
    written,
    same,
    marks,
    zeros,
    nullif(regexp_extract(zeros, '^[A-Z]*0*([0-9][0-9A-Z-]*)$', 1), '') as bare,
    regexp_matches(zeros, '^[A-Z]') as has_prefix,
    -- letters that are typed for figures, or the other way about
    case when length(marks) > 4 and regexp_matches(marks, '[0-9].*[0-9]') then translate(marks, 'OIL', '011') end
        as alike,
    try_cast(digits as bigint) as uprn,
    case
        when n_decimals < exponent and exponent <= 14
            then (try_cast(same as double) - 0.5 * power(10, exponent - n_decimals))::bigint
    end as rounded_from,
    case
        when n_decimals < exponent and exponent <= 14
            then (try_cast(same as double) + 0.5 * power(10, exponent - n_decimals))::bigint
    end as rounded_to
from marked
where marks <> ''
