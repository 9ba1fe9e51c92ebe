"""Places that nobody saw, listed one below another under a title. The texts are invented."""

from typing import Any

import pytest

from pipelines.register.contents import Contents
from pipelines.register.home_lines import Sheet
from pipelines.register.reader import Reader
from pipelines.register.unseen import TITLE, as_item, home_again, lists_of_unseen

PLACES = {"loft": "loft", "bedroom #": "bedroom", "riser": "riser", "hall": "hall_landing"}


@pytest.mark.parametrize(
    ("rows", "kinds"),
    [
        (
            [(20, "AREAS NOT ACCESSED"), (21, "No.|Area|Reason"), (22, "1|Loft|No hatch"), (23, "2|Bedroom 3|Locked")],
            {20: "title", 21: "heading", 22: "place", 23: "place"},
        ),
        (
            [(8, "Not accessed"), (9, "Loft (hatch painted in)"), (10, "Bedroom 2 - locked"), (12, "Riser")],
            {8: "title", 9: "place", 10: "place"},
        ),
        ([(8, "Areas not inspected"), (9, "None - full access")], {8: "title", 9: "none"}),
        ([(8, "Not accessed"), (10, "Loft")], {}),
        ([(8, "Not accessed"), (9, "Tenant out")], {}),
        ([(8, "Hall"), (9, "Loft")], {}),
    ],
)
def test_a_list_of_places_that_nobody_saw_ends_with_its_last_place(rows: Any, kinds: dict[int, str]) -> None:
    assert lists_of_unseen([(number, False, text.split("|")) for number, text in rows], PLACES) == kinds


@pytest.mark.parametrize(
    ("text", "is_title"),
    [
        ("Rooms / areas not entered", True),
        ("Areas to which no access was gained", True),
        ("Inaccessible areas", True),
        ("Loft not accessed", False),
        ("No access to loft", False),
    ],
)
def test_a_title_speaks_of_places_and_names_none(text: str, is_title: bool) -> None:
    assert (TITLE.match(text) is not None) == is_title


def test_a_place_is_a_row_of_the_table_above_with_the_reason() -> None:
    fields = ["item_ref", "room", "product", "notes"]
    assert as_item(["1", "Loft", "", "", "No hatch"], fields) == ["", "Loft", "Not accessed", "No hatch", ""]
    assert as_item(["", "Loft"], ["room", "product", "identification"]) == ["Loft", "", "Not accessed"]


def test_the_title_is_of_the_home_above() -> None:
    reader = Reader("registers", {}, {}, Contents({}), 0.8, 0.5, 3)
    sheet = Sheet("registers/a.csv", None, reader, said={"address": "Elm Court", "surveyed_on": "1 May 2024"})
    assert home_again(sheet) == sheet.said
    sheet.home = {"address": "Flat 3, Elm Court"}
    assert home_again(sheet) == {"address": "Flat 3, Elm Court", "surveyed_on": "1 May 2024"}
