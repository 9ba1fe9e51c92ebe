"""Extents as surveyors write them become a figure, a unit and how it was read."""

import pytest

from pipelines.register import extents

UNITS = {"m2": "m2", "sq": "m2", "sq m": "m2", "m": "m", "lm": "m", "no": "nr"}


@pytest.mark.parametrize(
    ("written", "unit", "expected"),
    [
        ("12 m2", None, (12, "m2", "known")),
        ("12", "m2", (12, "m2", "known")),
        ("15 m2 + 4 m2", None, (19, "m2", "vague")),
        ("15 m2 + 4 lm", None, (15, "m2", "vague")),
        ("Cistern in moulded resin, one. Sound.", None, (1, "nr", "vague")),
        ("1,5", "m2", (1.5, "m2", "comma")),
        ("12,75 m²", None, (12.75, "m2", "comma")),
        ("1,500", "m2", (1500, "m2", "known")),
        ("1,250,5", "m2", (1250.5, "m2", "comma")),
        ("approx 1,5", "m2", (1.5, "m2", "vague")),
        ("up to 3", "m", (3, "m", "vague")),
        ("5-10 m2", None, (10, "m2", "vague")),
        ("2,5 x 2", "m2", (5, "m2", "multiplied")),
        ("3 no", None, (3, "nr", "known")),
        ("throughout", "m2", (None, "m2", "unclear")),
        ("18 m2 (was 22)", None, (18, "m2", "known")),
        ("16 tiles, approx 6 m2", None, (6, "m2", "vague")),
        ("11, 9 and 6 m2", None, (26, "m2", "vague")),
        ("12O m2", None, (120, "m2", "letters")),
        ("l2 m2", None, (12, "m2", "letters")),
        ("12 lm", None, (12, "m", "known")),
        ("40 sq m in all", None, (40, "m2", "vague")),
        ("40 sq ft in all", None, (40, None, "vague")),
        ("100 SQ FT", None, (9.29, "m2", "feet")),
        ("10 sq. yards", None, (8.36, "m2", "feet")),
        ("10 ft run", None, (3.05, "m", "feet")),
        ("11 m2 each", None, (11, "m2", "known")),
        ("4 lm (each room)", None, (4, "m", "known")),
        ("3 no each", None, (3, "nr", "known")),
        ("half m2", None, (0.5, "m2", "known")),
        ("a dozen", None, (12, "nr", "known")),
        ("half a dozen panels", None, (6, None, "vague")),
        ("½ sq m", None, (0.5, "m2", "known")),
    ],
)
def test_an_extent_is_a_figure_with_a_unit_and_says_how_it_was_read(
    written: str, unit: str | None, expected: extents.Read
) -> None:
    assert extents.extent(written, unit, UNITS) == expected


def test_figures_one_after_the_other_are_each_of_one_room() -> None:
    assert extents.each("11, 9 and 6 sq m") == "11|9|6"
    assert extents.each("8, 4 and 1½ sq. m.") == "8|4|1.5"
    assert extents.each("1,500 m2") is None
    assert extents.each("5-10 m2") is None
