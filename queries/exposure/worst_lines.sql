-- One row per work type, contact code and product. The one task that counts where a kind of work can touch a code in
-- several ways: the largest contact x chance over the control limit at default parameters and no damage.
-- Kept as a step.
with defaults as (
    select
        l.*,
        d.contact as default_contact,
        row_number() over (
            partition by l.work_type, l.contact_code, l.product
            order by d.contact * l.p_at_default desc, d.minutes desc, l.task
        ) as nth
    from scored_lines as l
    inner join reference.contacts as d
        on l.work_type = d.work_type and l.contact_code = d.contact_code and l.task = d.task
)

select * exclude (nth, default_contact)
from defaults
where nth = 1
