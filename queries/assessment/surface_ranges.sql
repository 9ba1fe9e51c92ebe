-- The least and most that a product can score for its surface (HSG264). One row per product.
-- $textured_coating_surface_score: HSG264 does not name textured coating; 0 or 1
-- Kept as a step.
select
    product,
    min(score)::integer as surface_low,
    max(score)::integer as surface_high
from reference.surface_scores
group by product
union all
select
    'textured_coating' as product,
    $textured_coating_surface_score::integer as surface_low,
    $textured_coating_surface_score::integer as surface_high
