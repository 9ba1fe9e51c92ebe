"""Keys to codes: on sheets of their own and in lines of the register itself. The texts are invented."""

import pytest

from pipelines.register.legends import Key, keys_of, keys_said, meant


def meanings(texts: list[str]) -> dict[str, dict[str, str]]:
    return {key.name: key.meanings for key in keys_said(texts)}


def test_a_line_explains_codes_by_signs_and_names_each_group() -> None:
    line = "Visual only. Condition: G = good, L = low damage; U/C = unchanged. Surface: S = sealed, U = unsealed."
    assert meanings([line]) == {
        "Condition": {"G": "good", "L": "low damage", "U/C": "unchanged"},
        "Surface": {"S": "sealed", "U": "unsealed"},
    }


def test_a_line_explains_codes_with_wide_gaps_between_them() -> None:
    line = "SAMP_STAT: S sampled  X cross-ref to sample quoted  P presumed"
    assert meanings([line]) == {"SAMP_STAT": {"S": "sampled", "X": "cross-ref to sample quoted", "P": "presumed"}}


@pytest.mark.parametrize(
    "text", ["area = length x width", "Call the office: A. Person", "Note: see photo 4  and plan 2", "x = 1, y = 2"]
)
def test_what_explains_no_codes_gives_none(text: str) -> None:
    assert meanings([text]) == {}


def test_a_code_may_stand_before_the_sample_that_it_is_of() -> None:
    key = Key("", {"A": "amosite", "C": "chrysotile"})
    assert key.decode("A as HC2") == "amosite as HC2"
    assert key.decode("A+C - HC3") == "amosite & chrysotile - HC3"
    assert key.decode("Board - HC3") is None


def test_codes_side_by_side_are_read_and_words_among_them_stand() -> None:
    key = Key("", {"A": "good", "B": "low damage", "ptd": "painted or sealed"})
    assert key.decode("B ptd") == "low damage, ptd"
    assert key.decode("A encapsulated") == "good, encapsulated"
    assert key.decode("No access") is None


def test_a_row_of_three_cells_opens_a_group_of_a_key() -> None:
    rows = [["Key"], ["Cond:", "A", "Good"], ["", "B", "Low damage"], ["Status:", "S", "Sampled"], ["", "B", "Board"]]
    assert {key.name: key.meanings for key in keys_of("KEY", rows)} == {
        "Cond:": {"A": "Good", "B": "Low damage"},
        "Status:": {"S": "Sampled", "B": "Board"},
    }


def test_only_columns_of_codes_are_read_by_their_meanings() -> None:
    rows = [(1, ["Room", "Cond"]), (2, ["G", "G"]), (3, ["Hall", "L"]), (4, ["Loft", "G"]), (5, ["Shed", "?"])]
    key = Key("Condition", {"G": "good", "L": "low damage"})
    assert dict(meant(rows, [key])) == {2: ["G", "good"], 3: ["Hall", "low damage"], 4: ["Loft", "good"]}
