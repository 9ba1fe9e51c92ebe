"""Keys in running texts without signs of equality. The texts are invented."""

import pytest

from pipelines.register.key_series import keys_listed
from pipelines.register.keys import keys_said


def test_codes_stand_one_after_the_other_before_what_they_mean() -> None:
    (key,) = keys_listed(["Stuff (ours): TX textured finish, IB insulating board, CM cement, QQ = could not tell."])
    assert key.name == "Stuff (ours)"
    assert key.meanings == {
        "TX": "textured finish",
        "IB": "insulating board",
        "CM": "cement",
        "QQ": "could not tell",
    }
    (letters,) = keys_listed(["W white, Br brown, Bl blue, nil = lab found nothing.   x = not looked at"])
    assert letters.meanings == {"W": "white", "Br": "brown", "Bl": "blue", "nil": "lab found nothing"}


@pytest.mark.parametrize(
    "text",
    [
        "He said so, It was wet, We left",
        "AIB in the loft, and more, GF only",
        "Denise, Housing, Aug 2025",
        "A = asbestos, B = brick, C = cement",
        "TX textured finish, IB insulating board",
    ],
)
def test_other_texts_list_no_codes(text: str) -> None:
    assert keys_listed([text]) == []


def test_a_sign_before_a_code_adds_what_the_same_text_says_it_does() -> None:
    (key,) = keys_listed(["C chrysotile, A amosite, N none found. A p before it (pA) = presumed, by eye."])
    assert (key.meanings["pC"], key.meanings["pA"]) == ("presumed chrysotile", "presumed amosite")


def test_the_order_of_what_cells_say_is_told_by_strokes() -> None:
    text = "In each box: thing / type / amount in m2 / damage 0-3 (HSG264). m after the amount = metres, no = number."
    (key,) = keys_listed([text])
    assert key.order == ("thing", "type", "amount in m2", "damage 0-3")
    assert keys_said([text]) == []
    assert keys_listed(["Call Ann / Bob / Cy: 01234 / 5"]) == []
