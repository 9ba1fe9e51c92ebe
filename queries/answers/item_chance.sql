-- How likely an item is asbestos and there, and what that rests on. One row per item asked for.
-- $item_id: which item
-- $property_ref: its property, by which items are kept
select
    a.p_present,
    a.p_low,
    a.p_high,
    case
        when i.status = 'not_detected' then n.meaning
        when i.identification = 'identified' then 'identified, so it counts as surely asbestos'
        else
            'presumed ' || k.short || ', ' || s.era || ': the share of such that turn out to be asbestos'
            || case
                when i.identification = 'strongly_presumed' then ', and, strongly presumed, halfway from there to 1'
                else ''
            end
    end
    || case
        when g.name is null then ''
        else '; ' || g.meaning || ' (' || printf('%g', g.point) || ')'
    end as rests_on,
    case
        when g.name is not null or n.name is not null then coalesce(g.basis, n.basis)
        when i.identification = 'identified' then 'identified'
        else s.basis
    end as basis,
    case
        when g.name is not null or n.name is not null then coalesce(g.source, n.source)
        when i.identification = 'identified' then 'the evidence above'
        when s.basis = 'own' then 'own, from parameters/'
        else k.source
    end as source
from item_presence as a
inner join items as i on a.item_id = i.item_id and a.property_ref = i.property_ref
inner join property_cells as c on a.property_ref = c.property_ref
inner join reference.contact_codes as k on a.contact_code = k.contact_code
inner join positive_shares as s on a.contact_code = s.contact_code and c.era = s.era
left join model_figures as n on i.status = 'not_detected' and n.name = 'p_present_not_detected'
left join model_figures as g
    on i.status in ('removed', 'said_removed', 'not_found') and g.name = 'p_present_' || i.status
where a.property_ref = $property_ref and a.item_id = $item_id
