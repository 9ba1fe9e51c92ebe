"""Columns that a line says in words. The lines are invented."""

import pytest

from pipelines.register.reader import Reader
from pipelines.register.told_columns import heading, names

ROWS = [
    ["Flat 1", "bathroom", "AIB panel", "1 m2"],
    ["Flat 2", "", "no reply", ""],
    ["Flat 3", "hall", "Artex", "9 m2"],
]
COLUMNS = ["flat", "room", "what it is", "how much"]


@pytest.mark.parametrize(
    ("line", "columns"),
    [
        ("No headings sorry - it goes flat / room / what it is / how much. Brown = amosite.", COLUMNS),
        ("Columns are: flat, room, what it is, how much", COLUMNS),
        ("flat | room | what it is | how much", COLUMNS),
        ("In order flat, then room, then what it is, then how much", COLUMNS),
        ("flat / room / what it is", []),
        ("Kitchen / hall / bathroom / loft", []),
        ("We looked at the flat, the room and all that was there, as much as we could, and more", []),
    ],
)
def test_a_line_lists_columns_by_words_that_are_known(line: str, columns: list[str], reader: Reader) -> None:
    assert names(line, reader) == columns


def test_they_are_those_of_rows_as_wide_without_a_heading(reader: Reader) -> None:
    line = "It goes flat / room / what it is / how much"
    assert heading(line, ROWS, reader) == COLUMNS
    assert heading(line, [["", *row] for row in ROWS], reader) == ["", *COLUMNS]
    assert heading(line, [[*row, "fine"] for row in ROWS], reader) == []
    assert heading(line, [["Flat", "Room", "Material", "Quantity"], *ROWS], reader) == []
    assert heading(line, [row[:3] for row in ROWS], reader) == []
