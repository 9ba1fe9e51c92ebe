"""Tables that say of each column of a register what its answers stand for, and what they score. The texts are
invented."""

from collections.abc import Sequence

from pipelines.register.key import Key
from pipelines.register.key_tables import KeyTable, Listed, key_table, may_be_table, read_by

WORDS = {
    "damage": {"none": "good", "chipped": "low", "broken": "medium"},
    "surface": {"painted": "sealed", "bare": "unsealed"},
    "product": {"board": "insulating_board", "cement": "asbestos_cement"},
    "identification": {"yes": "yes", "lab found asbestos": "identified"},
    "asbestos_type": {"white": "chrysotile", "brown": "amosite", "not known": "unknown"},
    "accessibility": {"out of reach": "0", "easy reach": "3"},
}
KEY = [
    ["Question", "Answer", "What it means", "Points"],
    ["4", "Knocked", "broken", "2"],
    ["", "Marks", "chipped", "1"],
    ["", "Fine", "none", "0"],
    ["5", "P", "painted", ""],
    ["5", "B", "bare", ""],
]
ANSWERS = [["1. Home", "4. How is it?", "5. Face?"], ["H1", "Fine", "P"], ["H2", "Marks", "B"], ["H3", "Knocked", "P"]]


def table(rows: Sequence[Sequence[str]], answers: Sequence[Sequence[str]] = ANSWERS) -> KeyTable | None:
    return key_table(rows, {"Findings": list(enumerate(answers, start=1))})


def test_a_table_names_columns_by_the_numbers_of_their_questions_which_may_stand_on_the_first_row_only() -> None:
    assert may_be_table(KEY)
    found = table(KEY)
    assert found is not None
    assert {one.heading: one.answers for one in found.listed.values()} == {
        "4. How is it?": {"Knocked": ("broken", "2"), "Marks": ("chipped", "1"), "Fine": ("none", "0")},
        "5. Face?": {"P": ("painted", ""), "B": ("bare", "")},
    }
    assert [one.columns for one in found.registers] == [{"4": 1, "5": 2}]


def test_a_table_whose_answers_do_not_stand_in_the_columns_that_it_names_is_no_key() -> None:
    others = [ANSWERS[0], ["H1", "ok", "yes"], ["H2", "ok", "no"]]
    assert table(KEY, others) is None
    assert table(KEY, [["Home", "How is it?", "Face?"], *ANSWERS[1:]]) is None
    assert not may_be_table([["a", "b"], ["c", "d"], ["e", "f"], ["e", "f"]])


def test_points_stand_before_the_words_and_tell_what_an_unknown_heading_holds() -> None:
    wear = Listed("wear_cd", {"P": ("none", "0"), "Q": ("chipped", "1"), "R": ("broken", "2")})
    assert read_by(wear, WORDS) == Key("wear_cd", {"P": "0 - none", "Q": "1 - chipped", "R": "2 - broken"}, "damage")
    reach = Listed("r", {"0": ("mostly out of reach", "0"), "1": ("now and then", "1"), "2": ("in easy reach", "2")})
    assert read_by(reach, WORDS) == Key("r", {"0": "0", "1": "1", "2": "2"}, "accessibility")
    form = Listed("form", {"K": ("cement, tile", "1"), "L": ("board", "2")})
    assert read_by(form, WORDS) == Key("form", {"K": "1 - cement, tile", "L": "2 - board"}, "product_type_score")
    # what nobody knows stays with its points, and its heading is asked for
    odd = Listed("odd", {"X": ("as first met", "0"), "Y": ("not so", "1")})
    assert read_by(odd, WORDS) == Key("odd", {"X": "0 - as first met", "Y": "1 - not so"})


def test_a_scale_in_which_what_is_undamaged_does_not_score_0_gives_words_alone() -> None:
    turned = Listed("wear", {"P": ("none", "3"), "Q": ("chipped", "2"), "R": ("broken", "1")})
    assert read_by(turned, WORDS) == Key("wear", {"P": "none", "Q": "chipped", "R": "broken"}, "damage")
    reach = Listed("r", {"A": ("out of reach", "1"), "B": ("in easy reach", "2")})
    assert read_by(reach, WORDS).meanings == {"A": "out of reach", "B": "in easy reach"}


def test_types_and_materials_stay_as_such_though_they_have_points() -> None:
    types = Listed("fibre", {"W": ("white", "1"), "WX": ("white and brown", "2"), "Z": ("not known", "3")})
    assert read_by(types, WORDS) == Key(
        "fibre", {"W": "white", "WX": "white and brown", "Z": "not known"}, "asbestos_types"
    )
    listed = Listed("what", {"a": ("board", "2"), "b": ("cement sheet", "1"), "c": ("cement pipe", "1")})
    assert read_by(listed, WORDS) == Key("what", {"a": "board", "b": "cement sheet", "c": "cement pipe"}, "product")


def test_an_answer_in_words_stands_unless_only_its_meaning_is_known() -> None:
    said = Listed("how", {"Lab said yes": ("the lab found asbestos in it", ""), "Maybe": ("", "")})
    assert read_by(said, WORDS).meanings["Maybe"] == "Maybe"
    known = WORDS | {"identification": {"yes": "yes", "lab found asbestos": "identified", "maybe": "presumed"}}
    assert read_by(said, known) == Key(
        "how", {"Lab said yes": "the lab found asbestos in it", "Maybe": "Maybe"}, "identification"
    )
