"""Keys of four conditions in their order. The words are invented."""

import pytest

from pipelines.register.grades import in_order
from pipelines.register.key import Key

DAMAGES = {"fine": "good", "marks": "low", "broken": "high", "knocks": "medium", "wrecked": "high", "poor": "poor"}


def _meant(name: str, codes: str, *said: str) -> list[str]:
    return list(in_order(Key(name, dict(zip(codes, said, strict=True))), DAMAGES).meanings.values())


def test_four_steps_from_good_to_the_worst_are_those_of_the_assessment_whatever_their_words() -> None:
    said = ("fine", "knocks here and there", "broken here and there", "wrecked")
    graded = ["fine", "low damage (knocks here and there)", "medium damage (broken here and there)", "wrecked"]
    assert _meant("Cond", "1234", *said) == _meant("State of it", "ABCD", *said) == graded
    assert _meant("Cond", "0123", "fine", "a bit so-so", "knocks", "poor") == [
        *("fine", "low damage (a bit so-so)", "knocks", "high damage (poor)"),
    ]
    assert _meant("Cond", "1234", "fine", "marks", "knocks", "wrecked") == ["fine", "marks", "knocks", "wrecked"]


@pytest.mark.parametrize(
    ("name", "codes", "said"),
    [
        ("Priority", "1234", ("fine", "knocks", "broken", "wrecked")),
        ("Cond", "1235", ("fine", "knocks", "broken", "wrecked")),
        ("Cond", "123", ("fine", "broken", "wrecked")),
        ("Cond", "1234", ("wrecked", "broken", "knocks", "fine")),
        ("Cond", "FKBX", ("fine", "knocks", "broken", "wrecked")),
    ],
)
def test_other_keys_say_what_their_words_say(name: str, codes: str, said: tuple[str, ...]) -> None:
    assert _meant(name, codes, *said) == list(said)
