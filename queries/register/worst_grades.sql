-- One row per sheet of a register that says that poor is the last of its four grades of condition, above medium: `Good,
-- Low, Medium or Poor`, `Good 0 / Low 1 / Med 2 / Poor 3`. Elsewhere the word is used for medium and for high.
-- Kept as a step.
select distinct
    path,
    coalesce(sheet, '') as sheet_key
from row_shapes
where
    kind = 'registers'
    and n_filled <= 3
    -- few rows of a table have so few cells, and to look is cheap
    and contains(lower(array_to_string(cells, ' ')), 'poor')
    and len(
        list_filter(
            cells,
            lambda cell: regexp_matches(
                cell,
                '(?i)\bgood\W+([0-3]\W+)?(low|slight|minor)( damage)?\W+([0-3]\W+)?(med(ium)?|moderate)( damage)?'
                || '\W+([0-3]\W+)?((or|and)\W+)?poor\b'
            )
        )
    ) > 0
