-- How the sentences of every query are worded. One macro each, made before all tables.

-- A figure to two digits that count, from ten on whole, as the pages write it.
create macro figure(value) as
case
    when value = 0 then '0'
    when value < 0.0001 then 'under 0.0001'
    when value >= 10 then format('{:,}', round_even(value, 0)::bigint)
    else printf('%.2g', value::double)
end;

-- Exceedances of a year, with their range where there is one, and what adds the most to them.
create macro exceeded(exceedances, low, high, reasons) as
case
    when exceedances = 0 then 'No exceedance is expected'
    when exceedances < 0.0001 then 'Under 0.0001 exceedances a year'
    else figure(exceedances) || if(figure(exceedances) = '1', ' exceedance a year', ' exceedances a year')
end
|| case
    when exceedances >= 0.0001 and low is not null
        then ' (90 % range ' || figure(low) || ' to ' || figure(high) || ')'
    else ''
end
|| coalesce(', most from ' || reasons, '');

-- One work at one kind of material, with what it adds.
create macro pair(work, material, is_possible, exceedances) as
work || ' at ' || case when is_possible then 'possible ' else '' end || material || ' (' || figure(exceedances) || ')';

-- What else is recorded beside one item.
create macro more_items(number, kind) as
case
    when number = 0 then ''
    when number = 1 then '; 1 more item' || kind || ' is recorded here'
    else '; ' || format('{:,}', number) || ' more items' || kind || ' are recorded here'
end;

-- The number of a cell of work: how often a profile is touched in one scope (home or room) of one stratum.
create macro work_cell(profile_id, scope, stratum_id) as
(2 * profile_id::bigint + (scope = 'room')::integer) * 1000000 + stratum_id;

-- A name with its area, which is not said twice.
create macro in_area(name, area) as
case when ends_with(lower(name), lower(area)) then name else name || ', ' || area end;
