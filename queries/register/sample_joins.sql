-- One row per result and register row. The register rows that each laboratory's result is about, and those of the
-- property that name its sample for the same material in another place: these refer to it, whether they say so or not.
-- Kept as a step.
select
    sample_id,
    path,
    sheet,
    row_number,
    key,
    is_meant,
    is_reference or not is_meant as is_reference,
    scope <= 1 and likeness <= 2 and coalesce(is_of_visit, true) as is_exact,
    scope <= 1
    and likeness <= 2
    and coalesce(product_agrees, true)
    and (coalesce(is_of_visit, true) or coalesce(product_agrees, false)) as is_sure,
    coalesce(not product_agrees, false) as is_other_material,
    case
        when scope = 0 then 'same workbook and sample'
        when scope = 1 and likeness = 1 then 'same property and sample'
        when scope = 1 and likeness = 2 then 'same property and sample, written otherwise'
        when scope = 1 and likeness = 3 then 'same property, by the laboratory''s own number'
        when scope = 1 then 'same property and number of the sample'
        when scope = 2 then 'same block and sample'
        when scope = 3 then 'same sample and day'
        else 'no other property has such a sample'
    end as reason
from sample_candidates
where (is_meant or is_alike) and not is_ambiguous
