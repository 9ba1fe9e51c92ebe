"""Columns of points that add up, with what the asbestos scores, to the stated score. The rows are invented."""

import pytest

from pipelines.register.columns import read_columns
from pipelines.register.contents import Contents
from pipelines.register.layout import Block
from pipelines.register.reader import Reader

KNOWN = {
    "home": ["property_ref"],
    "fibre": ["asbestos_types"],
    "total": ["material_score"],
    "damage": ["damage"],
    "form": ["product_type_score"],
}
TERMS = {
    "damage": {"whole": "good", "chipped": "low", "broken": "medium"},
    "surface": {"resin": "composite", "painted": "sealed", "bare": "unsealed"},
    "asbestos_type": {"chrysotile": "chrysotile", "amosite": "amosite"},
}
TYPES = {"chrysotile": 1, "amosite": 2}
READER = Reader("registers", KNOWN, {}, Contents(TERMS), 0.8, 0.5, 3)
WEAR, SKIN, FORM = ("whole", "chipped", "broken"), ("resin", "painted", "bare"), ("", "tile", "board", "lagging")


def fields(headings: str, with_words: bool, total_off: int = 0) -> list[str | None]:
    """The fields of a home, form, the type, wear, reach, skin and the total, in 24 rows."""
    rows = []
    for n in range(24):
        form, wear, skin, fibre = 1 + n % 3, n // 2 % 3, n // 5 % 3, list(TYPES)[n // 7 % 2]
        points = [(form, FORM), (wear, WEAR), (skin, SKIN)]
        said = [f"{score} - {words[score]}" if with_words else str(score) for score, words in points]
        total = form + wear + skin + TYPES[fibre] + total_off * n
        rows.append(["H1", said[0], fibre, said[1], str(n // 3 % 4), said[2], str(total)])
    labels = tuple((one,) for one in headings.split())
    return [column.field for column in read_columns(Block(1, 1, labels), rows, READER)]


@pytest.mark.parametrize("with_words", [True, False])
def test_the_one_that_no_heading_tells_is_what_is_left_of_the_three(with_words: bool) -> None:
    found = fields("Home Form Fibre Damage Xq Skq Total", with_words)
    assert found[3:6] == ["damage", None, "surface_treatment_score"]


def test_which_of_two_is_which_their_words_tell_and_without_any_they_are_asked_for() -> None:
    assert fields("Home Form Fibre Weq Xq Skq Total", True)[3:6] == ["damage_score", None, "surface_treatment_score"]
    assert fields("Home Form Fibre Weq Xq Skq Total", False)[3:6] == [None, None, None]


def test_what_does_not_add_up_tells_nothing() -> None:
    assert fields("Home Form Fibre Damage Xq Skq Total", False, total_off=1)[5] is None
