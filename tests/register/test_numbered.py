"""Rows that tell several findings, each by its mark. The texts are invented."""

from pathlib import Path

import pytest

from pipelines.register import numbered
from tests import portfolios


@pytest.mark.parametrize(
    ("cell", "parted"),
    [
        ("(a) Lounge\n(b) Bedroom", ("ab", ["Lounge", "Bedroom"])),
        ("(1) Hall – tiles (2) Kitchen – tiles", ("12", ["Hall – tiles", "Kitchen – tiles"])),
        ("a) 5 sq m b) 6 sq m c) 7 sq m", ("abc", ["5 sq m", "6 sq m", "7 sq m"])),
        ("(b) Lounge (c) Bedroom", ("", [])),
        ("Tiles (1) and (2)", ("", [])),
        ("(1) Hall", ("", [])),
        ("both sound", ("", [])),
    ],
)
def test_marks_in_their_order_part_a_cell(cell: str, parted: tuple[str, list[str]]) -> None:
    assert numbered.pieces(cell) == parted


def test_marks_of_one_cell_alone_part_no_row() -> None:
    assert numbered.findings(["H1", "(1) Hall (2) Kitchen", "5 m2"]) == []


def test_each_finding_has_a_line_and_what_is_not_marked_holds_for_all(tmp_path: Path) -> None:
    rows = [
        {"Location": "Loft", "Material": "AIB", "Result": "Chrysotile", "Extent": "2 m2", "Condition": "Good"},
        {
            "Location": "(a) Lounge (b) Bedroom 1",
            "Material": "Textured coating",
            "Result": "(a) sampled - chrysotile (b) presumed",
            "Extent": "(a) 16 sq m (b) 12 sq m",
            "Condition": "Good",
        },
    ]
    home = {"Property Ref": "H1", "Survey Date": "2025-03-01"}
    result = portfolios.read(portfolios.write(tmp_path, {"register.csv": [home | row for row in rows]}))
    asked = "select row_number, part, room_text, identification, extent, damage_score from entries order by all"
    entries = portfolios.ask(result, asked)
    assert entries[1:] == [
        (3, 1, "Lounge", "identified", 16.0, 0),
        (3, 2, "Bedroom 1", "presumed", 12.0, 0),
    ]
