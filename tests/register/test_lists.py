"""Rows that say one thing of a list of rooms."""

import pytest

from pipelines.register.contents import Contents
from pipelines.register.lists import rooms_said
from pipelines.register.reader import Reader

TERMS = {
    "identification": {"not seen": "no_access", "no access": "no_access", "nothing suspect": "not_suspect"},
    "place": {"loft": "loft", "cellar": "cellar", "lounge": "living_room", "bedroom #": "bedroom", "all areas": "home"},
    "product": {"aib": "insulating_board"},
}


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (["Rooms with nothing suspect:", "Lounge, bedroom 1"], ("Lounge, bedroom 1", "Rooms with nothing suspect")),
        (["Not seen:", "Bedroom 2 (child asleep)"], ("Bedroom 2 (child asleep)", "Not seen")),
        (["Not seen:", "Loft", "Cellar"], ("Loft, Cellar", "Not seen")),
        (["No access: loft, cellar"], ("loft, cellar", "No access")),
        (["ALL AREAS", "NO ACCESS - card left, no response"], ("ALL AREAS", "NO ACCESS - card left, no response")),
        (["Note:", "Tenant is deaf, ring twice. Dog."], None),
        (["Loft", "AIB, no access to sample"], None),
        (["Address:", "12 Loft Road"], None),
        (["Loft", "Cellar"], None),
        (["Loft"], None),
    ],
)
def test_a_row_says_one_thing_of_its_rooms(cells: list[str], said: tuple[str, str] | None) -> None:
    assert rooms_said(cells, TERMS) == said


def test_a_sentence_of_a_room_that_nobody_saw_belongs_to_the_table_above() -> None:
    places = {"place": {"loft": "loft"}, "identification": {"could not be entered": "no_access"}}
    reader = Reader("registers", {}, {}, Contents(places), 0.8, 0.5, 3)
    assert reader.is_of_rooms(["The loft could not be entered: the hatch was painted in."])
    assert not reader.is_of_rooms(["The loft was boarded out and in good order."])
    assert not reader.is_of_rooms(["Loft could not be entered"])
