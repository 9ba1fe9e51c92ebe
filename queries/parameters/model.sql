-- One row per build: the single figures of the model by name, so that a query can join them.
-- Kept as a step.
select
    max(point) filter (where name = 'p_present_not_detected') as p_not_detected,
    max(low) filter (where name = 'p_present_not_detected') as p_not_detected_low,
    max(high) filter (where name = 'p_present_not_detected') as p_not_detected_high,
    max(point) filter (where name = 'positive_share_factor') as positive_share_factor,
    max(point) filter (where name = 'reach_step') as reach_step,
    max(point) filter (where name = 'reach_least') as reach_least,
    max(point) filter (where name = 'reach_most') as reach_most,
    max(point) filter (where name = 'first_year_without') as first_year_without,
    max(point) filter (where name = 'measurements_for_spread') as measurements_for_spread
from model_figures
