-- Which build this is. One row per build (there is one).
-- $version: of undisturbed
-- $name: of the portfolio
-- $as_of: the day that the figures hold for
-- $started_at: the one clock value
-- $settings: every setting in force, as a JSON object
select
    $version::varchar as version,
    $name::varchar as name,
    $as_of::date as as_of,
    $started_at::timestamp as started_at,
    $settings::json as settings
