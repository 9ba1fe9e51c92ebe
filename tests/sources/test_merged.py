"""Cells over which one above is merged come with their places, and are kept with the rest."""

from pathlib import Path

import pytest
import xlsxwriter

from pipelines import sources
from pipelines.sources import workbooks
from pipelines.sources.kept import Kept
from tests.sources.reading import LIMITS


@pytest.fixture
def merged(tmp_path: Path) -> Path:
    """A workbook whose A2 reaches down to A4, B2 to the right, D2 to D3."""
    file = tmp_path / "register.xlsx"
    with xlsxwriter.Workbook(file) as made:
        sheet = made.add_worksheet("items")
        sheet.write_row(0, 0, ["Ref", "Room", "Note", "", "Item"])
        for row in (1, 2, 3):
            sheet.write(row, 4, f"AIB {row}")
        sheet.merge_range("A2:A4", "H1")
        sheet.merge_range("B2:C2", "Hall")
        sheet.merge_range("D2:D3", "Wet")
    return file


def test_cells_below_a_merged_one_are_told_by_row_and_column(merged: Path) -> None:
    (sheet,) = workbooks.read(merged, LIMITS)
    assert sheet.merged == frozenset({(3, 1), (4, 1), (3, 4)})


def test_merged_cells_are_kept_with_what_was_read(merged: Path, tmp_path: Path) -> None:
    source, kept = sources.SourceFile(merged, "registers/r.xlsx", "registers", "abc"), Kept(tmp_path / "kept")
    first, again = (sources.read(source, LIMITS, kept) for _ in range(2))
    assert kept.get("abc") is not None
    assert [sheet.merged for sheet in first] == [sheet.merged for sheet in again]
