-- One row per kind of material that has profiles, by contact code and product, with a number in the order of these:
-- millions of parts of sums are gathered by it.
select
    contact_code,
    product,
    (row_number() over (order by contact_code, product))::integer as material_id
from exposure_profiles
group by contact_code, product
