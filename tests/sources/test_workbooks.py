"""Workbooks come back cell for cell, hidden sheets too; what was read is kept, and not believed where it is damaged."""

import re
import struct
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from xml.sax.saxutils import escape

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines import queries, sources
from pipelines.sources import UnreadableError, workbooks
from pipelines.sources.kept import Kept
from pipelines.sources.rows import Sheet, text
from tests.sources.reading import LIMITS, of, rows, sheets, told, words

EACH = settings(max_examples=40, deadline=None, derandomize=True, database=None)
OLD = Path(__file__).parent / "register.xls"
SHEET = "xl/worksheets/sheet1.xml"
REGISTER = [["Ref", "Room"], ["H1", "Hall"], ["H2", "Loft"]]


def workbook(file: Path, **named: list[list[Any]]) -> Path:
    """A workbook with these sheets."""
    with xlsxwriter.Workbook(file, {"strings_to_numbers": False, "strings_to_formulas": False}) as made:
        for name, table in named.items():
            sheet = made.add_worksheet(name)
            for number, cells in enumerate(table):
                for position, cell in enumerate(cells):
                    sheet.write_string(number, position, cell) if cell else None
    return file


def ods(*rows_: str, name: str = "s") -> bytes:
    """A spreadsheet in the open format with these rows as they are written in it."""
    spaces = " ".join(
        f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"' for short in ("office", "table", "text")
    )
    content = (
        f'<?xml version="1.0"?><office:document-content {spaces}><office:body><office:spreadsheet>'
        f'<table:table table:name="{name}">{"".join(rows_)}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    return zipped(
        {
            "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
            "META-INF/manifest.xml": b'<m:manifest xmlns:m="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>',
            "content.xml": content.encode(),
        }
    )


def ods_row(*cells: str, times: int = 1, each: int = 1) -> str:
    inside = "".join(
        f'<table:table-cell office:value-type="string" table:number-columns-repeated="{each}"><text:p>{cell}</text:p>'
        "</table:table-cell>"
        if cell
        else f'<table:table-cell table:number-columns-repeated="{each}"/>'
        for cell in cells
    )
    return f'<table:table-row table:number-rows-repeated="{times}">{inside}</table:table-row>'


def zipped(parts: dict[str, bytes]) -> bytes:
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return packed.getvalue()


def replaced(file: Path, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """A workbook with one part changed."""
    with zipfile.ZipFile(file) as archive:
        parts = {part: archive.read(part) for part in archive.namelist()}
    return zipped(parts | {name: change(parts[name])})


@EACH
@given(st.lists(st.lists(st.one_of(words, st.text('ab,"\n', max_size=4)), min_size=3, max_size=3), max_size=8))
def test_any_table_comes_back(table: list[list[str]]) -> None:
    with TemporaryDirectory() as folder:
        found = rows(workbook(Path(folder, "register.xlsx"), items=table))
    kept = [(number, trimmed(cells)) for number, cells in found]
    assert kept == [(number, trimmed(cells)) for number, cells in told(table)]


@EACH
@given(
    st.lists(st.lists(st.one_of(words, st.text("ab <&>'\"\n\t", max_size=5)), min_size=3, max_size=3), max_size=8),
    st.sampled_from(["</text:p><text:p>", "<text:line-break/>", '<text:line-break text:style-name="x" />']),
)
def test_any_table_comes_back_from_an_open_spreadsheet(table: list[list[str]], line_break: str) -> None:
    """A line break stands between two paragraphs, as spreadsheet programs write it, or is marked as such."""
    marked = [[as_marked(cell).replace("\n", line_break) for cell in cells] for cells in table]
    with TemporaryDirectory() as folder:
        found = of(ods(*(ods_row(*cells) for cells in marked)), "register.ods", Path(folder))
    kept = [(number, trimmed(cells)) for number, cells in found]
    assert kept == [(number, trimmed(cells)) for number, cells in told(table)]


def as_marked(cell: str) -> str:
    """A cell as an open spreadsheet writes it, but for line breaks: blanks and tabs have marks."""
    spaced = re.sub(" +", lambda blanks: f'<text:s text:c="{len(blanks[0])}"/>', escape(cell))
    return spaced.replace("\t", "<text:tab/>")


def trimmed(cells: list[str]) -> list[str]:
    """A row without the blank cells at its end, whose number depends on the other rows."""
    return "\0".join(cells).rstrip("\0").split("\0")


def test_each_sheet_is_read_and_a_hidden_one_is_known_as_such(tmp_path: Path) -> None:
    file = tmp_path / "register.xlsx"
    with xlsxwriter.Workbook(file) as made:
        made.add_worksheet("cover").write(4, 2, "Register of May")
        for name, hide in (("items", None), ("old", "hide"), ("older", "very_hidden")):
            sheet = made.add_worksheet(name)
            sheet.write(0, 0, "Ref")
            getattr(sheet, hide)() if hide else None
        made.add_worksheet("empty")
        made.add_chartsheet("chart")
    assert sheets(file) == [
        ("cover", False, [(5, ["", "", "Register of May"])]),
        ("items", False, [(1, ["Ref"])]),
        ("old", True, [(1, ["Ref"])]),
        ("older", True, [(1, ["Ref"])]),
        ("empty", False, []),
    ]


def test_values_are_written_as_a_person_would_type_them(tmp_path: Path) -> None:
    file = tmp_path / "register.xlsx"
    values: list[tuple[Any, str | None, str]] = [
        (0.1 + 0.2, None, "0.3"),
        (100023000000, None, "100023000000"),
        (2.0, None, "2"),
        (0.00001, None, "0.00001"),
        (True, None, "TRUE"),
        (45931, None, "45931"),
        (datetime(2026, 10, 1), "dd/mm/yyyy", "2026-10-01"),
        (datetime(2026, 10, 1, 10, 30), "dd/mm/yyyy hh:mm", "2026-10-01 10:30:00"),
        (time(10, 30), "hh:mm", "10:30:00"),
        (timedelta(hours=26, minutes=30), "[h]:mm", "26:30:00"),
        ("007", None, "007"),
    ]
    with xlsxwriter.Workbook(file) as made:
        sheet = made.add_worksheet()
        for position, (value, style, _) in enumerate(values):
            sheet.write(0, position, value, made.add_format({"num_format": style} if style else {}))
        sheet.write_formula(0, len(values), "=1+1", None, 2)
        sheet.write_formula(0, len(values) + 1, "=1/0", None, "#DIV/0!")
        sheet.merge_range(1, 0, 1, 3, "merged")
    (_, first), (_, merged) = rows(file)
    assert first == [*(said for _, _, said in values), "2", ""]
    assert merged[:4] == ["merged", "", "", ""]


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (date(2026, 10, 1), "2026-10-01"),
        (datetime(2026, 10, 1, 10, 29, 59, 999_997), "2026-10-01 10:30:00"),
        (datetime(2026, 10, 1, 23, 59, 59, 999_997), "2026-10-02"),
        (datetime.max, "9999-12-31 23:59:59"),
        (timedelta(hours=-1, minutes=-30), "-1:30:00"),
        (float("nan"), "NaN"),
        (float("inf"), "Infinity"),
        (1e22, "10000000000000000000000"),
        (-2.50, "-2.5"),
        (None, ""),
    ],
)
def test_a_value_has_one_way_to_be_written(value: object, said: str) -> None:
    assert text(value) == said


def test_an_open_spreadsheet_is_read(tmp_path: Path) -> None:
    content = ods(
        ods_row("", times=2),
        ods_row("Ref", "Room"),
        ods_row("H1", "Hall", times=2),
        ods_row("", times=1_048_571, each=16_384),
    )
    expected = [(3, ["Ref", "Room"]), (4, ["H1", "Hall"]), (5, ["H1", "Hall"])]
    assert of(content, "register.ods", tmp_path) == expected


def test_an_old_workbook_is_read() -> None:
    """A file that another library wrote (xlwt 1.3), with a hidden sheet."""
    assert sheets(OLD) == [
        (
            "items",
            False,
            [
                (1, ["Ref", "Room", "Surveyed", "Extent"]),
                (2, ["H1", "Hall", "2026-10-01 10:30:00", "0.3"]),
                (3, ["H2", "Café", "2026-10-01", "2"]),
            ],
        ),
        ("old", True, [(4, ["", "x"])]),
    ]


@pytest.mark.parametrize(
    ("at", "damage"),
    [
        (76, b"\xff\xff\xff\xff"),  # the reader fails
        (4_608, bytes(104)),  # its sectors follow each other in a circle, which the reader never leaves
    ],
)
def test_an_old_workbook_that_its_reader_chokes_on_is_refused(at: int, damage: bytes, tmp_path: Path) -> None:
    content = OLD.read_bytes()
    with pytest.raises(UnreadableError, match=r"did not end within 1 seconds|its parts do not fit together"):
        of(content[:at] + damage + content[at + 4 :], "register.xls", tmp_path, old_workbook_seconds_most=1)


@pytest.mark.parametrize("name", ["register.xls", "register.csv", "register.txt", "register.json", "register.ods"])
def test_a_workbook_is_read_under_any_name(name: str, tmp_path: Path) -> None:
    content = workbook(tmp_path / "register.xlsx", items=REGISTER).read_bytes()
    assert of(content, name, tmp_path) == told(REGISTER)


def far_cell(place: str) -> Callable[[bytes], bytes]:
    return lambda part: part.replace(b'r="B3"', f'r="{place}"'.encode())


def lying(content: bytes) -> bytes:
    """A workbook whose sheet says that it unpacks to ten bytes."""
    with zipfile.ZipFile(BytesIO(content)) as archive:
        size = archive.getinfo(SHEET).file_size
    return content.replace(struct.pack("<L", size), struct.pack("<L", 10))


@pytest.mark.parametrize(
    ("make", "limits", "code"),
    [
        (lambda file: replaced(file, SHEET, far_cell("XFD1048576")), {}, "sheet_too_large"),
        (lambda file: replaced(file, SHEET, far_cell("ZZ1048576")), {}, "sheet_too_large"),
        (lambda file: replaced(file, SHEET, far_cell("B4000000000")), {}, "sheet_too_large"),
        (lambda file: replaced(file, SHEET, far_cell("ABCDEF3")), {}, "sheet_too_large"),
        (lambda file: ods(ods_row("x", times=40_000, each=16_384)), {}, "sheet_too_large"),
        (lambda file: ods(ods_row("", times=900_000), ods_row("x", each=16_384)), {}, "sheet_too_large"),
        (lambda file: ods("<table:table>"), {}, "cut_off"),
        (lambda file: lying(file.read_bytes()), {}, "cut_off"),
        (lambda file: file.read_bytes()[:-400], {}, "cut_off"),
        (lambda file: file.read_bytes()[:400], {}, "cut_off"),
        (lambda file: file.read_bytes(), {"unpacked_bytes_most": 1000}, "unpacks_too_large"),
        (lambda file: replaced(file, "docProps/app.xml", lambda _: bytes(200_000_000)), {}, "unpacks_too_large"),
        (lambda file: file.read_bytes(), {"columns_most": 1}, "too_many_columns"),
        (lambda file: file.read_bytes(), {"cell_characters_most": 3}, "cells_too_large"),
        (lambda file: workbook(file, one=[["a"]], two=[["b"]]).read_bytes(), {"sheets_most": 1}, "too_many_sheets"),
        (lambda file: replaced(file, SHEET, lambda part: part[:300]), {}, "unreadable"),
        (lambda file: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2_000), {}, "unreadable"),
        (lambda file: b"\xd0\xcf\x11\xe0" + bytes(600) + workbooks.LOCKED + bytes(600), {}, "encrypted"),
        (lambda file: zipped({"readme.txt": b"hello"}), {}, "another_kind"),
        (lambda file: zipped({"word/document.xml": b"<w/>"}), {}, "another_kind"),
    ],
)
def test_a_hostile_workbook_is_refused_with_its_reason(
    make: Callable[[Path], bytes], limits: dict[str, int], code: str, tmp_path: Path
) -> None:
    content = make(workbook(tmp_path / "good.xlsx", items=REGISTER))
    with pytest.raises(UnreadableError) as fault:
        of(content, "register.xlsx", tmp_path, **limits)
    assert fault.value.args[0] == code


def test_a_wide_and_a_long_sheet_are_read_where_they_fit(tmp_path: Path) -> None:
    file = workbook(tmp_path / "good.xlsx", items=REGISTER)
    for place, width, last in (("AAA3", 703, 3), ("B90000", 2, 90_000)):
        found = of(replaced(file, SHEET, far_cell(place)), "register.xlsx", tmp_path)
        assert (len(found[0][1]), found[-1][0]) == (width, last)


def test_a_span_is_counted_exactly_where_the_rough_count_is_too_much(tmp_path: Path) -> None:
    file = workbook(tmp_path / "good.xlsx", items=REGISTER)
    content = replaced(file, SHEET, far_cell("AB3"))
    assert len(of(content, "register.xlsx", tmp_path, sheet_cells_most=3 * 28)) == 3
    with pytest.raises(UnreadableError, match="84 cells; 83 are the most"):
        of(content, "register.xlsx", tmp_path, sheet_cells_most=3 * 28 - 1)


@pytest.fixture
def source(tmp_path: Path) -> sources.SourceFile:
    file = workbook(tmp_path / "register.xlsx", items=REGISTER, empty=[])
    return sources.SourceFile(file, "registers/register.xlsx", "registers", "abc")


def of_sheets(found: list[Sheet]) -> list[tuple[str | None, bool, list[dict[str, Any]]]]:
    return [(sheet.name, sheet.is_hidden, sheet.rows.to_pylist()) for sheet in found]


def test_what_is_kept_is_what_was_read_and_is_not_read_again(
    source: sources.SourceFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = Kept(tmp_path / "kept")
    first = sources.read(source, LIMITS, kept)
    monkeypatch.setattr(workbooks, "read", lambda *_: pytest.fail("read again"))
    assert of_sheets(sources.read(source, LIMITS, kept)) == of_sheets(first)
    assert [sheet.name for sheet in first] == ["items", "empty"]


def test_a_damaged_kept_file_is_not_believed(source: sources.SourceFile, tmp_path: Path) -> None:
    kept = Kept(tmp_path / "kept")
    first = of_sheets(sources.read(source, LIMITS, kept))
    (file,) = (tmp_path / "kept").iterdir()
    whole = file.read_bytes()
    for at in range(0, len(whole), 7):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :])
        assert of_sheets(sources.read(source, LIMITS, kept)) == first
        file.write_bytes(whole[:at])
        assert of_sheets(sources.read(source, LIMITS, kept)) == first


def test_what_no_file_of_the_portfolio_needs_is_not_kept(source: sources.SourceFile, tmp_path: Path) -> None:
    folder = tmp_path / "kept"
    for sha256 in ("abc", "def"):
        sources.read(sources.SourceFile(source.location, source.path, "registers", sha256), LIMITS, Kept(folder))
    (folder / "note.md").write_text("mine")
    with queries.create(tmp_path / "made.duckdb", threads=1) as con:
        sources.store(con, [source], folder)
    assert sorted(file.name.partition("-")[0] for file in folder.iterdir()) == ["abc", "note.md"]


def test_a_folder_that_cannot_be_written_keeps_nothing(source: sources.SourceFile, tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("a file where the folder would be")
    assert len(sources.read(source, LIMITS, Kept(tmp_path / "kept"))) == 2
