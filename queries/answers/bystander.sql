-- What somebody beside the work breathes of what the worker does. One row per build.
select
    point,
    low,
    high,
    basis
from model_figures
where name = 'bystander_share'
