"""Keys in a row of cells behind what they are called, and what they say of columns. The texts are invented."""

import pytest

from pipelines.register.key import Key
from pipelines.register.key_labels import behind_label, columns_scored, headings_in
from pipelines.register.keys import key_within, keys_of, keys_said


@pytest.mark.parametrize(
    ("row", "name", "meanings"),
    [
        (
            ["Orchard letters for damage:", "G = good", "S = slight (scratches)", "V = very bad / debris"],
            "Orchard letters for damage",
            {"G": "good", "S": "slight (scratches)", "V": "very bad / debris"},
        ),
        (
            ["Lab codes:", "CH chrysotile", "AM amosite", "ND none detected"],
            "Lab codes",
            {"CH": "chrysotile", "AM": "amosite", "ND": "none detected"},
        ),
        (["State", "G = good", "S = slight", "V = very bad"], "State", {"G": "good", "S": "slight", "V": "very bad"}),
        (["Scores:", "D = damage 0-3", "T = treatment 0-3", "both as published"], "Scores", None),
    ],
)
def test_a_label_names_the_codes_in_the_cells_behind_it(row: list[str], name: str, meanings: dict[str, str]) -> None:
    said = behind_label(row)
    assert {of for of, *_ in said} == {name}
    assert meanings is None or {code: meaning for _, code, meaning in said} == meanings
    others = [["A = asbestos", "B = brick"], ["BD1", "Bedroom 1"], ["X", "no access"]]
    assert next(key for key in keys_of("Key", [["Title"], row, *others]) if key.name == name).meanings


@pytest.mark.parametrize(
    "row",
    [
        ["Surveyed by:", "A Person", "B Nobody"],
        ["Codes", "CH chrysotile", "AM amosite", "ND none detected"],
        ["Room:", "Hall", "Kitchen", "A = amosite"],
        ["A = amosite", "B = brown", "C = chrysotile"],
        ["State", "G = good", "S = slight", "whatever"],
    ],
)
def test_other_rows_behind_a_label_explain_no_codes(row: list[str]) -> None:
    assert behind_label(row) == []


def test_short_headings_of_scores_are_told_by_their_key_where_two_of_them_stand() -> None:
    scored = columns_scored([Key("Scores", {"D": "damage 0-3", "T": "treatment of surface 0-3"})])
    assert headings_in(["Place", "D", "T", "Note"], scored) == {"D": "damage score", "T": "treatment of surface score"}
    assert headings_in(["Place", "D", "U"], scored) == {}
    assert headings_in(["D", "T", "D", "T"], scored) == {}
    assert columns_scored([Key("Scores", {"D": "damage 0-3", "T": "tile"})]) == []


def test_a_sign_and_what_names_nothing_are_explained_as_letters_are() -> None:
    line = "wh = white asbestos   nil = tested, none   ? = not tested   n/s = not seen"
    meanings = {"wh": "white asbestos", "nil": "tested, none", "?": "not tested", "n/s": "not seen"}
    assert [key.meanings for key in keys_said([line])] == [meanings]
    assert [key.meanings for key in key_within([[line]])] == [meanings]
