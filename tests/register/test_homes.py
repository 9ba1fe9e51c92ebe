"""Rows that say one thing of several homes. The texts are invented."""

import pytest

from pipelines.register import homes
from pipelines.register.contents import Contents
from pipelines.register.reader import Reader

KNOWN = {"flat": ["address"], "room": ["room"], "material": ["product"], "amount": ["extent"]}
STOCK = frozenset({"flats 1 6 elm court"})
LABELS = [("Flat",), ("Room",), ("Material",), ("Amount",)]


@pytest.mark.parametrize(
    ("cell", "named"),
    [
        ("2, 6 & 10", ["2", "6", "10"]),
        ("Flats 1-3, 5 & 6", ["Flat 1", "Flat 2", "Flat 3", "Flat 5", "Flat 6"]),
        ("Flats 7, 8 and 11a", ["Flat 7", "Flat 8", "Flat 11a"]),
        ("12-14", []),
        ("Flat 12-14", []),
        ("Flats 1-6", []),  # a block of the stock list
        ("Flats 1-400", []),
        ("12", []),
        ("Flat 3, Elm Court", []),
    ],
)
def test_homes_are_named_one_by_one(cell: str, named: list[str]) -> None:
    assert homes.several(cell, STOCK) == named


def test_each_home_has_a_line_and_what_there_is_of_it_where_that_is_said_of_each() -> None:
    reader = Reader("registers", KNOWN, {}, Contents({}, {"address": STOCK}), 0.8, 0.5, 3)
    rows = [
        ["1", "Hall", "AIB", "2 m2"],
        ["2 & 3", "Hall", "AIB", "1 each"],
        ["", "Loft", "Flue", "3 m"],
        ["4", "Loft", "Flue", "3 m"],
    ]
    table = homes.find(LABELS, 0, 0, rows, reader)
    assert table is not None
    assert [line for row in rows for line in table.lines(row)] == [
        ["1", "Hall", "AIB", "2 m2"],
        ["2", "Hall", "AIB", "1 each"],
        ["3", "Hall", "AIB", "1 each"],
        ["2", "Loft", "Flue", ""],
        ["3", "Loft", "Flue", ""],
        ["4", "Loft", "Flue", "3 m"],
    ]


def test_a_table_without_such_a_row_is_left_as_it_is() -> None:
    reader = Reader("registers", KNOWN, {}, Contents({}), 0.8, 0.5, 3)
    assert homes.find(LABELS, 0, 0, [["1", "Hall", "AIB", "2, 3"], ["12-14", "Hall", "AIB", ""]], reader) is None
