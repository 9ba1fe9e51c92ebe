-- One row per row of a stock sheet below its heading. The property lists read into values; a reason stands beside the
-- rows that cannot be used.
-- $as_of: the day that the figures hold for
-- Kept as a step.
with valued as (
    select
        s.path,
        s.sheet,
        s.row_number,
        s.line,
        trim(regexp_replace(s.property_ref, '\s+', ' ', 'g')) as property_ref,
        try_cast(regexp_extract(s.uprn, '^([0-9]{1,18})(\.0+)?$', 1) as bigint) as uprn_number,
        case when uprn_number between 1 and 999999999999 then uprn_number end as uprn,
        s.uprn as uprn_text,
        coalesce(s.address, s.property_ref) as address,
        upper(s.postcode) as postcode,
        s.area,
        coalesce(dwelling.term, 'other') as dwelling_type,
        coalesce(
            part.term,
            case
                when dwelling.term = 'garage' then 'garage'
                when dwelling.term = 'office' then 'non-domestic'
                else 'home'
            end
        ) as part,
        try_cast(regexp_extract(s.built_year, '^([0-9]{4})(\.0+)?$', 1) as integer) as year_number,
        case when year_number between 1500 and year($as_of) then year_number end as built_year,
        s.built_year as built_year_text,
        trim(regexp_replace(s.building_ref, '\s+', ' ', 'g')) as building_written,
        s.building_name,
        s.archetype,
        try_cast(s.easting as double) as easting_number,
        try_cast(s.northing as double) as northing_number,
        s.easting as easting_text,
        easting_number between 0 and 700000 and northing_number between 0 and 1300000 as is_on_grid,
        case when is_on_grid then easting_number end as easting,
        case when is_on_grid then northing_number end as northing,
        try_cast(regexp_extract(s.oldest_part, '^([0-9]{4})(\.0+)?$', 1) as integer) as oldest_number,
        case when oldest_number between 1500 and year($as_of) then oldest_number end as oldest_part,
        s.oldest_part as oldest_part_text,
        tenure.term as tenure,
        coalesce(construction.term, 'unknown') as construction,
        try_cast(regexp_extract(s.occupants, '^([0-9]{1,4})(\.0+)?$', 1) as integer) as occupants_number,
        case when occupants_number between 0 and 100 then occupants_number end as occupants,
        s.occupants as occupants_text
    from stock_lines as s
    left join recognised_words as dwelling
        on dwelling.field = 'dwelling_type' and s.dwelling_type = dwelling.written
    left join recognised_words as part
        on part.field = 'part' and s.part = part.written
    left join recognised_words as tenure
        on tenure.field = 'tenure' and s.tenure = tenure.written
    left join recognised_words as construction
        on construction.field = 'construction' and s.construction = construction.written
    where s.line <> 'layout'
),

numbered as (
    select
        * exclude (
            uprn_number, year_number, easting_number, northing_number, is_on_grid, oldest_number, occupants_number,
            building_written
        ),
        -- references of buildings that differ only in case or blanks are one, written as the first of them
        first_value(building_written) over (
            partition by upper(replace(building_written, ' ', '')) order by path, sheet, row_number
        ) as building_ref,
        upper(replace(property_ref, ' ', '')) as same,
        row_number() over (partition by same order by path, sheet, row_number) as nth,
        count(*) over (partition by same) as n_alike
    from valued
),

-- A reference stands twice, unless case or blanks differ and the addresses too: by number, name or postcode.
alike as (
    select
        path,
        sheet,
        row_number,
        nth,
        same,
        property_ref,
        postcode,
        lower(case when address <> property_ref then address end) as said,
        regexp_extract_all(said, '\b[0-9]+[a-z]?\b') as numbers,
        regexp_extract(
            regexp_replace(said, '\b(flat|apartment|apt|unit|maisonette|the)\b', '', 'g'), '\p{L}{3,}'
        ) as name
    from numbered
    where n_alike > 1 and property_ref is not null
),

repeated as (
    select distinct
        later.path,
        later.sheet,
        later.row_number
    from alike as later
    inner join alike as earlier on later.same = earlier.same and later.nth > earlier.nth
    where
        later.property_ref = earlier.property_ref
        or coalesce(
            later.numbers = earlier.numbers
            and later.name = earlier.name
            and replace(later.postcode, ' ', '') = replace(earlier.postcode, ' ', ''), true
        )
)

select
    n.* exclude (same, nth, n_alike),
    case
        when n.line = 'above' then 'above_heading'
        when n.line = 'totals' then 'totals_row'
        when n.property_ref is null then 'no_reference'
        when r.path is not null then 'repeated_reference'
    end as reason_code,
    n.property_ref as value
from numbered as n
left join repeated as r
    on n.path = r.path and n.sheet is not distinct from r.sheet and n.row_number = r.row_number
