-- One row per file that says that the extent of several rooms on one line is that of each: `size is for each room`.
-- Kept as a step.
select distinct path
from row_shapes
where
    kind = 'registers'
    and n_filled <= 3
    -- few rows of a table have so few cells, and to look is cheap
    and contains(lower(array_to_string(cells, ' ')), 'each')
    and len(
        list_filter(
            cells,
            lambda cell: regexp_matches(
                cell, '(?i)\b(several|more than one|two or more|two|multiple|many) (rooms|room|areas|locations)\b'
            )
            and regexp_matches(
                cell,
                '(?i)\b(extents?|sizes?|quantit(y|ies)|amounts?|figures?)\b[^.;]*\b(of|for|in|per|to) (each|every)\b'
            )
        )
    ) > 0
