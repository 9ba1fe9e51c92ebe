"""Rows that are struck through come with their numbers (ISO/IEC 29500-1, from memory), and are kept with the rest."""

from pathlib import Path

import pytest
import xlsxwriter

from pipelines import sources
from pipelines.sources import workbooks
from pipelines.sources.kept import Kept
from tests.sources.reading import LIMITS


@pytest.fixture
def crossed_out(tmp_path: Path) -> Path:
    """A workbook whose row 2 is struck through, row 3 in one cell of three, row 4 in blank cells only."""
    file = tmp_path / "register.xlsx"
    with xlsxwriter.Workbook(file) as made:
        made.add_worksheet("cover").write_row(1, 0, ["Not this one"])
        sheet, struck = made.add_worksheet("items & more"), made.add_format({"font_strikeout": True})
        for number, marks in enumerate(((), (0, 1, 2), (1,), (3, 4))):
            for position, cell in enumerate((f"H{number}", "Hall", "AIB", "", "")):
                form = struck if position in marks else None
                sheet.write(number, position, cell, form) if cell or form else None
    return file


def test_rows_struck_through_are_told_by_sheet_and_row(crossed_out: Path) -> None:
    assert [(sheet.name, sheet.struck) for sheet in workbooks.read(crossed_out, LIMITS)] == [
        ("cover", frozenset()),
        ("items & more", frozenset({2})),
    ]


def test_what_is_struck_through_is_kept_with_what_was_read(crossed_out: Path, tmp_path: Path) -> None:
    source, kept = sources.SourceFile(crossed_out, "registers/r.xlsx", "registers", "abc"), Kept(tmp_path / "kept")
    first, again = (sources.read(source, LIMITS, kept) for _ in range(2))
    assert kept.get("abc") is not None
    assert [sheet.struck for sheet in first] == [sheet.struck for sheet in again] == [frozenset(), frozenset({2})]
