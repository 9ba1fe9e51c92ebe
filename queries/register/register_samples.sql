-- One row per used register row that names a sample: which, whether as taken there or of another place (`as S12`),
-- in brackets or with a star (`(M1)`, `M1*`, where the file has an M1 without), in the column of samples or among the
-- words of the result, or alone in the notes; and as a laboratory names it that numbers samples within a job.
-- $as_of: the day that the figures hold for
-- Kept as a step.
with bare as (
    select distinct
        path,
        sample_ref
    from register_lines
    where sample_ref is not null
),

written as (
    select
        r.* exclude (sample_ref),
        coalesce(b.sample_ref, r.sample_ref) as sample_ref,
        f.property_ref as matched_ref,
        case
            when r.sample_ref is not null then coalesce(b.sample_ref, r.sample_ref)
            when regexp_matches(r.identification, '[0-9]') then r.identification
            -- a note that is nothing else
            when
                regexp_matches(
                    r.notes,
                    '^\W*((?i:samples?)\s*((?i:no|nr)\.?)?\s*[A-Z]{0,4}[-/.]?[0-9]{1,6}|[A-Z]{1,4}[-/.]?[0-9]{2,6})'
                    || '([-/.][0-9]{1,6})*\W*$|^\W*(?i:samples?)\s*((?i:no|nr)\.?)?\s*[A-Z]{0,4}[-/.]?[0-9]{1,6}[.,;]\s'
                )
                then
                    regexp_extract(
                        r.notes,
                        '^\W*(?:(?i)samples?\s*(?:(?:no|nr)\.?)?)?\s*([A-Za-z0-9]+(?:[-/.][A-Za-z0-9]+)*)', 1
                    )
        end as said,
        coalesce(
            regexp_extract(
                lower(said),
                '^(as per|as|see|ref|refer(?:red)? to|same as|similar to|sim to|like|x[- ]?ref|xr'
                || '|cross[- ]?ref(?:erenced?)?(?: to)?|x|ext(?:rap(?:olated)?)?(?:\.? from)?'
                || '|(?:match(?:es)?|inferred|identical|comparable)(?: (?:from|to|with))?)'
                || '[.:]*\s+((bulk )?samples?\s+((no|nr|ref)[.:]*\s+)?)?'
            ), ''
        ) as refers,
        refers <> ''
        or b.sample_ref is not null
        or coalesce(regexp_matches(r.identification, '(?i)^\W*(?:(?:cross|x)[- ]?ref|xr\b)'), false)
        or (
            r.sample_ref is null
            and coalesce(
                regexp_matches(
                    said,
                    '(?i)[\s(](as|see|same as|like|similar to|ref) '
                    || '([0-9]{1,3}[A-Z]{1,3}[-/]|[A-Z]{1,3}[-/.]?)[0-9]'
                ), false
            )
        ) as is_reference,
        case
            when r.sample_ref is not null then nullif(substr(said, length(refers) + 1), '')
            else
                coalesce(
                    nullif(
                        regexp_extract(
                            said,
                            '\b(?:[0-9]{1,3}[A-Za-z]{1,4}[-/]|[A-Za-z]{1,4}[-/.]?)'
                            || '[0-9]{1,6}(?:[-/.][0-9]{1,6})*[A-Za-z]?\b'
                        ), ''
                    ),
                    nullif(
                        regexp_extract(said, '(?i)\bsamples?\s+(?:(?:no|ref)\b\.?\s*)?([0-9]{1,6}/[0-9]{1,4})\b', 1), ''
                    ),
                    -- figures in groups, of which the middle one is too long for a month: `25-0413-01`
                    nullif(regexp_extract(said, '\b[0-9]{1,4}[-/.][0-9]{3,6}[-/.][0-9]{1,4}[A-Za-z]?\b'), ''),
                    -- `same as VT 40`, not `as FLAT 12` or `as NO 3`
                    case
                        when
                            refers <> ''
                            and not regexp_matches(
                                said, '\b(NO|NR|FLAT|APT|UNIT|ROOM|RM|BED|ITEM|ROW|LINE|LIST|PAGE|TYPE|YEAR)S? [0-9]'
                            )
                            then nullif(regexp_extract(said, '\b[A-Z]{1,4} [0-9]{1,6}[A-Za-z]?\b'), '')
                    end,
                    -- and no year: `built 2003`
                    case
                        when
                            not regexp_matches(
                                said, '(?i)^[a-z ]*\b(built|modernised|new|rewired|since) (in )?(19|20)[0-9]{2}\W*$'
                            )
                            then nullif(regexp_extract(said, '\b[0-9]{3,6}(?:/[0-9]{2,4})?\b'), '')
                    end,
                    case when r.identification is distinct from said then said end
                )
        end as sample
    from register_lines as r
    inner join register_fates as f
        on r.path = f.path and r.sheet is not distinct from f.sheet and r.row_number = f.row_number
    left join bare as b
        on
            r.path = b.path
            and coalesce(
                nullif(regexp_extract(r.sample_ref, '^\(([^()]+)\)$', 1), ''),
                regexp_extract(r.sample_ref, '^([A-Za-z0-9][^*]*?)\s*\*+$', 1)
            ) = b.sample_ref
    where not f.is_layout and f.reason_code is null and coalesce(r.sample_ref, r.identification, r.notes) is not null
),

-- Samples that are numbered within a job, as a laboratory writes them with it: `S1` of job 2201 as `2201-S1`.
of_laboratories as (
    select distinct upper(regexp_replace(sample_ref, '[^A-Za-z0-9]+', '-', 'g')) as ref
    from sample_lines
    where line = 'item' and regexp_matches(sample_ref, '[A-Za-z0-9][^A-Za-z0-9]+[A-Za-z0-9]')
),

of_jobs as (
    select
        n.job_ref,
        n.sample,
        string_agg(n.with_job, ', ' order by n.with_job) as sample_of_job
    from (
        select distinct
            job_ref,
            sample,
            job_ref
            || '-'
            || unnest(
                if(regexp_matches(sample, '^[0-9]{1,3}[A-Za-z]?$'), [sample], list_distinct(samples_named(sample)))
            ) as with_job
        from written
        -- one with a number before it is of another job
        where job_ref is not null and not regexp_matches(sample, '[0-9]\s*[-/]\s*[A-Za-z]')
    ) as n
    inner join of_laboratories as l on upper(regexp_replace(n.with_job, '[^A-Za-z0-9]+', '-', 'g')) = l.ref
    group by n.job_ref, n.sample
)

select
    w.path,
    w.sheet,
    w.row_number,
    coalesce(l.source_row, w.row_number) as source_row,
    w.matched_ref as property_ref,
    p.building_ref,
    w.sample,
    j.sample_of_job,
    w.is_reference,
    case when d.day <= $as_of then d.day end as surveyed_on,
    coalesce(lower(w.organisation), w.path) as firm,
    w.room,
    w.product,
    w.identification,
    w.asbestos_types
from written as w
inner join properties as p on w.matched_ref = p.property_ref
left join of_jobs as j on w.job_ref = j.job_ref and w.sample = j.sample
left join spread_rows as l
    on w.path = l.path and w.sheet is not distinct from l.sheet and w.row_number = l.row_number
left join dates_read as d
    on
        w.path = d.path
        and w.surveyed_on = d.written
        and (d.hand is null or d.hand = coalesce(w.surveyor, ''))
where w.sample is not null
