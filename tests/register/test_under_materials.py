"""Tables in the order of their materials. The texts are invented."""

import pytest

from pipelines.register import across
from pipelines.register.reader import Reader

HEADING = ["Address", "Room", "Amount", "Result", "Date"]
ROWS = [
    HEADING,
    ["TEXTURED & OTHER COATINGS", "", "", "", ""],
    ["1 Elm Road", "Lounge", "17", "Chrysotile", "3/2/23"],
    ["", "", "1 line", "", ""],
    ["LAGGING (worst first)", "", "", "", ""],
    ["2 Elm Road", "Loft", "3", "Presumed", "3/2/23"],
    ["FELT, ROPE, ODDMENTS", "", "", "", ""],
    ["3 Elm Road", "Flat roof - felt", "30", "Presumed", "3/2/23"],
    ["3 Elm Road", "Loft - nobody knows", "1", "Presumed", "3/2/23"],
    ["Ask Kev about these", "", "", "", ""],
    ["4 Elm Road", "Loft", "1", "Presumed", "3/2/23"],
    ["CEMENT", "", "", "", ""],
    ["4 Elm Road", "Boiler - rope seal", "1", "Presumed", "3/2/23"],
]


def read(rows: list[list[str]], reader: Reader) -> list[list[str]]:
    numbered = list(enumerate(rows, start=1))
    return [cells for *_, cells, _ in across.lines_of(numbered, across.find(numbered, reader, ()))]


def test_each_row_has_the_material_of_the_line_above_it(reader: Reader) -> None:
    lines = read(ROWS, reader)
    assert lines[0] == [*HEADING, "Material"]
    assert [lines[nth] for nth in (1, 3, 4, 6, 9)] == [[], ROWS[3], [], [], ROWS[9]]
    assert [(lines[nth][1], lines[nth][-1]) for nth in (2, 5, 7, 8, 10, 12)] == [
        ("Lounge", "TEXTURED & OTHER COATINGS"),
        ("Loft", "LAGGING"),
        ("Flat roof", "felt"),
        ("Loft - nobody knows", "FELT or ROPE"),
        ("Loft", ""),
        ("Boiler - rope seal", "CEMENT: rope seal"),
    ]


@pytest.mark.parametrize(
    "rows",
    [
        [HEADING, ["LAGGING", "", "", "", ""], *ROWS[2:4], ROWS[5]],
        [HEADING, ["Flat 1", "", "", "", ""], ROWS[2], ["Kitchen", "", "", "", ""], ROWS[5], ROWS[1], ROWS[7]],
        [["Address", "Room", "Material", "Result", "Date"], *ROWS[1:]],
    ],
)
def test_other_tables_are_left_as_they_are(rows: list[list[str]], reader: Reader) -> None:
    assert read(rows, reader) == rows
