-- Visits that say of themselves that they are another home's: "as 14 High Street", "same as no. 14". One row per
-- visit to a home of which at least half the rows say so, or a single row about all of it.
-- Kept as a step.
with searched as (
    select
        path,
        sheet,
        row_number,
        property_ref,
        surveyed_on,
        concat_ws(' ; ', notes, room_text, product_text) as said,
        regexp_extract(
            said,
            '(?i)\b(same as|as per|as for|identical to|clone of|cloned from|copied from|copy of|as)\s+'
            || '(?:(?:the )?(?:survey|report)\s+(?:of|for|at)\s+)?'
            || '(no\.?\s*|number\s+|flat\s+(?:no\.?\s*)?|apartment\s+|apt\.?\s*|unit\s+|house\s+)?'
            || '([0-9]{1,4}[a-z]?)\b\s*([a-z0-9²]*)',
            ['like', 'named', 'number', 'after']
        ) as found
    from readings
),

told as (
    select
        *,
        case
            when
                found.number <> ''
                -- a quantity or a day, no home
                and not regexp_matches(
                    found.after,
                    '(?i)^(m|mm|cm|m2|m²|sq.*|lin.*|nr|no|off|x|layers?|tiles?|sheets?|samples?|items?|days?'
                    || '|weeks?|months?|years?|st|nd|rd|th|[0-9].*)$'
                )
                then found
        end as referred
    from searched
),

originals as (
    select
        t.path,
        t.sheet,
        t.row_number,
        min(o.property_ref) as original_ref
    from told as t
    inner join stock_homes as h on t.property_ref = h.property_ref
    inner join stock_homes as o
        on
            h.name = o.name
            and h.postcode_key is not distinct from o.postcode_key
            and is_home_beside(h.unit, o.unit, lower(t.referred.number))
    where h.property_ref <> o.property_ref
    group by t.path, t.sheet, t.row_number
    having count(distinct o.property_ref) = 1
)

select
    t.path,
    min(t.sheet) as sheet,
    t.property_ref,
    t.surveyed_on,
    min(o.original_ref) as original_ref,
    min(concat_ws(' ', t.referred.like, t.referred.named || t.referred.number, nullif(t.referred.after, ''))) as words
from told as t
left join originals as o
    on t.path = o.path and t.sheet is not distinct from o.sheet and t.row_number = o.row_number
group by t.path, t.property_ref, t.surveyed_on
having
    count(*) filter (
        where o.original_ref is not null
        or (t.referred.named <> '' and lower(t.referred.like) <> 'as')
    ) >= (
        select value
        from reference.limits
        where name = 'cloned_share_least'
    ) * count(*)
