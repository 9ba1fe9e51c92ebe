-- One row per raw row of a register sheet with a heading: its cells of results, those that tell more than yes or no,
-- and its address without the day of the visit that may stand behind it where no column has it. Step by step, as
-- DuckDB writes an alias out wherever it is used.
-- Kept as a view of steps.
select
    r.*,
    case
        when r.day_behind is null then r.address_and_day
        else
            regexp_replace(
                r.address_and_day,
                '\s+\(?((?i:surveyed|inspected|visited|survey|date)(?: on)?:? *)?[0-9]{1,2}[./-][0-9./-]+\W*$', ''
            )
    end as address_whole,
    list_filter(
        r.results,
        lambda cell: lower(cell) not in ('y', 'yes', 'true', 'n', 'no', 'false')
        and not (r.is_cleared and regexp_matches(cell, 'presum|assum', 'i'))
    ) as telling
from (
    select
        d.*,
        case
            when d.has_no_day
                then
                    nullif(
                        regexp_extract(
                            d.address_and_day,
                            '\s(?:\(?(?i:surveyed|inspected|visited|survey|date)(?: on)?:? *)?'
                            || '([0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{2}|[0-9]{4}))\W*$',
                            1
                        ), ''
                    )
        end as day_behind,
        list_filter(d.results, lambda cell: lower(cell) in ('y', 'yes', 'true')) as affirmed,
        list_filter(d.results, lambda cell: lower(cell) in ('n', 'no', 'false')) as denied,
        list_filter(d.results, lambda cell: regexp_matches(cell, 'presum|assum', 'i')) as presumed,
        len(d.results) > 1
        and d.sampled_said not in ('n', 'no', 'false')
        and coalesce(
            regexp_matches(
                d.outcome, '^\W*(no asbestos|nad|nfd|negative|not detected|none detected|-ve)', 'i'
            ), false
        ) as is_cleared
    from (
        select
            t.*,
            p.surveyed_on_at is null as has_no_day,
            coalesce(
                nullif(t.cells[p.asbestos_types_at], ''),
                nullif(
                    concat_ws(
                        ' + ',
                        case
                            when lower(t.cells[p.chrysotile_at]) in ('y', 'yes', 'true', 'x', '1') then 'chrysotile'
                        end,
                        case when lower(t.cells[p.amosite_at]) in ('y', 'yes', 'true', 'x', '1') then 'amosite' end,
                        case
                            when
                                lower(t.cells[p.crocidolite_at]) in ('y', 'yes', 'true', 'x', '1')
                                then 'crocidolite'
                        end
                    ), ''
                )
            ) as asbestos_types,
            list_filter(filled(t.cells, p.results_at), lambda cell: not is_unchanged(cell)) as results_now,
            coalesce(filled(t.cells, p.results_before_at)[:1], []) as results_before,
            list_filter(results_now, lambda cell: not is_not_seen(cell) and not is_gone(cell)) as results_seen,
            -- what this visit leaves blank or says not to have changed, and what it could not see, was found before
            case
                when len(results_before) = 0 then filled(t.cells, p.results_at)
                when len(results_seen) > 0 then results_seen
                when len(list_filter(results_now, lambda cell: is_gone(cell))) > 0 then results_before
                else list_concat(results_now, results_before)
            end as results,
            len(results_before) > 0
            and len(results_seen) = 0
            and len(list_filter(filled(t.cells, p.results_at), lambda cell: is_unchanged(cell))) = 0
                as is_result_earlier,
            case
                when len(results_before) > 0 then list_filter(results_now, lambda cell: is_gone(cell))[1]
            end as gone,
            nullif(array_to_string(filled(t.cells, p.notes_at), '; '), '') as notes,
            -- four scores in one cell, in the order of HSG264 (2012) appendix 4: `2+1+2+2 = 7`, `2.1.2.2 (7)`
            coalesce(
                scores_together(t.cells[p.scores_together_at]),
                -- marks where words for a condition stood: `2+1+2+2 = 7`
                case
                    when regexp_full_match(t.cells[p.damage_at], '\W*[1-3]( *\+ *[0-3]){3}( *= *[0-9]{1,2})?\W*')
                        then scores_together(t.cells[p.damage_at])
                end,
                scores_together(
                    case
                        when is_unchanged(t.cells[p.material_score_at])
                            then filled(t.cells, p.materials_before_at)[1]
                        else t.cells[p.material_score_at]
                    end
                )
            ) as scores,
            lower(coalesce(t.cells[p.sampled_at], t.sampled_alone, '')) as sampled_said,
            t.cells[p.outcome_at] as outcome,
            nullif(
                array_to_string(
                    list_filter(
                        list_transform(
                            p.address_at,
                            -- a number in a column of flats or garages is one
                            lambda position: case
                                when not regexp_matches(t.cells[position], '^[0-9]{1,4} ?[A-Za-z]?(\.0)?$')
                                    then t.cells[position]
                                -- the report's own number of the site, beside its address
                                when position = p.site_at and len(p.address_at) > 1 then ''
                                when position in (p.flat_at, p.garage_at)
                                    then
                                        if(position = p.flat_at, 'Flat ', 'Garage ')
                                        || regexp_replace(t.cells[position], '\.0$', '')
                                else t.cells[position]
                            end
                        ),
                        lambda cell: cell <> '' and not regexp_matches(cell, '(?i)^(not (in|on) (the )?list|n/?a)$')
                    ), ', '
                ), ''
            ) as address_and_day
        from (
            select
                w.* exclude (cells),
                -- a column of results may answer whether there is a sample: `no`, `yes - white`
                if(
                    c.sampled_told_at is null,
                    w.cells,
                    list_concat(
                        w.cells[:c.sampled_told_at - 1],
                        [sampled_in_full(w.cells[c.sampled_told_at])],
                        w.cells[c.sampled_told_at + 1:]
                    )
                ) as cells,
                nullif(regexp_extract(w.cells[c.sampled_told_at], '(?i)^\W*(y|yes|true)\W*$', 1), '') as sampled_alone
            from (
                select
                    t.* exclude (cells),
                    coalesce(m.cells, t.cells) as cells
                from table_rows as t
                left join merged_rows as m
                    on t.path = m.path and coalesce(t.sheet, '') = m.sheet_key and t.row_number = m.row_number
            ) as w
            left join table_columns as c on w.table_id = c.table_id
            where w.kind = 'registers'
        ) as t
        left join table_columns as p on t.table_id = p.table_id
    ) as d
) as r
