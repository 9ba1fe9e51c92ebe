"""Workbooks: each sheet, hidden ones too, as its cells read; what was read is kept beside the portfolio.

What a file would unpack to is checked before it is opened, so that a small file cannot fill the memory.
"""

import lzma
import re
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import BinaryIO
from xml.parsers.expat import ExpatError, ParserCreate

from python_calamine import CalamineError, CalamineWorkbook

from pipelines.sources import old_workbooks, struck
from pipelines.sources.contents import OLD_OFFICE
from pipelines.sources.rows import NO_NUL, Limits, Sheet, UnreadableError, numbered, table, text

PART_BYTES = 1 << 22
SMALL_BYTES = 100_000_000
REF_BYTES = 32
# The cells of an xlsx name their place (r="AB12"); their columns by letters, so many at most.
REF = re.compile(rb'r="([A-Za-z]+)([0-9]+)"')
LETTERS = tuple(re.compile(rb'r="[A-Za-z]{%d,}[0-9]' % n) for n in range(1, 5))
DIGITS = tuple(re.compile(rb'r="[A-Za-z]*[0-9]{%d}' % n) for n in range(1, 9))
COLUMNS = (1, 26, 702, 16_384, 1_000_000_000)
CONTENT = "content.xml"
# Those of an ods follow each other, and one may stand for many.
ODS_TAG = re.compile(rb"<table:(table-row|table-cell|covered-table-cell|table)\b([^>]*)")
ODS_REPEATED = re.compile(rb'table:number-(?:rows|columns)-repeated="([0-9]+)"')
ODS_BREAK, ODS_TAB = (re.compile(rb"<text:%s(?:\s[^>]*)?/>" % mark) for mark in (b"line-break", b"tab"))
LOCKED = "EncryptedPackage".encode("utf-16-le")


def read(file: Path, limits: Limits) -> list[Sheet]:
    """All sheets of a workbook. Raises UnreadableError."""
    with file.open("rb") as opened:
        if opened.read(len(OLD_OFFICE)) == OLD_OFFICE:
            _check_old(opened)
            return _old(file, limits)
        _check_packed(opened, limits)
        sheets = _packed(_spelt_out(opened), limits)
        crossed_out = struck.rows(opened)
        return [replace(sheet, struck=crossed_out.get(str(sheet.name), frozenset())) for sheet in sheets]


def _check_old(opened: BinaryIO) -> None:
    """A workbook locked with a password is kept in the old container, whatever its name."""
    opened.seek(0)
    if any(LOCKED in part for part in _overlapping(iter(lambda: opened.read(PART_BYTES), b""), len(LOCKED))):
        raise UnreadableError("encrypted", "")


def _check_packed(opened: BinaryIO, limits: Limits) -> None:
    """Raises UnreadableError for what is torn, locked or unpacks to too much.

    Parts are unpacked once more for it, a piece at a time and never further than they say they go, since a part may
    lie about its size.
    """
    try:
        with zipfile.ZipFile(opened) as archive:
            parts = archive.infolist()
            _check_sizes(parts, limits)
            for part in parts:
                _check_part(archive, part, limits)
    except RuntimeError as error:
        raise UnreadableError("encrypted", "") from error
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, ExpatError, EOFError, ValueError, OSError) as error:
        raise UnreadableError("cut_off", f"a workbook: {error}") from error


def _check_sizes(parts: list[zipfile.ZipInfo], limits: Limits) -> None:
    packed, unpacked = (sum(sizes) for sizes in zip(*((p.compress_size, p.file_size) for p in parts), strict=True))
    is_dense = unpacked > SMALL_BYTES and unpacked > limits["unpacked_ratio_most"] * packed
    if is_dense or unpacked > limits["unpacked_bytes_most"]:
        raise UnreadableError("unpacks_too_large", f"{unpacked:,} bytes from {packed:,}")


def _check_part(archive: zipfile.ZipFile, part: zipfile.ZipInfo, limits: Limits) -> None:
    """A part must unpack to what it says, and a sheet in it must not span more cells than fit."""
    most = limits["sheet_cells_most"]
    if part.filename == CONTENT:
        cells = _span_of_ods(_well_formed(_pieces(archive, part)))
    else:
        cells = _span_at_most(_overlapping(_pieces(archive, part), REF_BYTES))
        if cells > most:
            cells = _span(_overlapping(_pieces(archive, part), REF_BYTES))
    if cells > most:
        raise UnreadableError("sheet_too_large", f"{cells:,} cells; {most:,} are the most")


def _pieces(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[bytes]:
    with archive.open(part) as unpacked:
        while piece := unpacked.read(PART_BYTES):
            yield piece


def _well_formed(pieces: Iterable[bytes]) -> Iterator[bytes]:
    """The pieces of an XML part. Raises ExpatError where a tag is left open: the reader would wait for its end."""
    parser = ParserCreate()
    for piece in pieces:
        parser.Parse(piece, False)
        yield piece
    parser.Parse(b"", True)


def _overlapping(pieces: Iterable[bytes], width: int) -> Iterator[bytes]:
    """Pieces that each begin with the end of the one before, so that nothing of that width is cut through."""
    rest = b""
    for piece in pieces:
        yield rest + piece
        rest = (rest + piece)[-width:]


def _span_at_most(pieces: Iterable[bytes]) -> int:
    """The cells that a sheet can span by the longest names of its columns and rows: rough, and quickly seen."""
    letters = digits = 0
    for piece in pieces:
        while letters < len(LETTERS) and LETTERS[letters].search(piece):
            letters += 1
        while digits < len(DIGITS) and DIGITS[digits].search(piece):
            digits += 1
    return int(COLUMNS[letters] * 10**digits)


def _span(pieces: Iterable[bytes]) -> int:
    """The cells from the first to the last column and row that a sheet names."""
    widest = longest = 0
    for piece in pieces:
        names = REF.findall(piece)
        widest = max([widest, *(_column(letters) for letters in {letters for letters, _ in names})])
        longest = max([longest, *(int(digits[:9]) for digits in {digits for _, digits in names})])
    return widest * longest


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters[:6].upper():
        number = number * 26 + letter - ord("A") + 1
    return number


def _span_of_ods(pieces: Iterable[bytes]) -> int:
    """The cells up to the last column and row that hold something, of the largest sheet."""
    most = rows = widest = last = at = repeated = 0
    for kind, attributes in _tags(pieces):
        named = ODS_REPEATED.search(attributes)
        times = int(named[1][:9]) if named else 1
        if kind == b"table":
            rows = widest = last = repeated = 0
        elif kind == b"table-row":
            rows, at, repeated = rows + repeated, 0, times
        else:
            at += times
            if b"office:value-type" in attributes:
                widest, last = max(widest, at), rows + repeated
                most = max(most, widest * last)
    return most


def _tags(pieces: Iterable[bytes]) -> Iterator[tuple[bytes, bytes]]:
    rest = b""
    for piece in pieces:
        whole, _, cut = (rest + piece).rpartition(b"<")
        yield from ODS_TAG.findall(whole)
        rest = b"<" + cut


def _old(file: Path, limits: Limits) -> list[Sheet]:
    found = old_workbooks.read(file, limits["old_workbook_seconds_most"])
    if isinstance(found, tuple):
        raise UnreadableError(*found)
    return _sheets(found, limits)


def _spelt_out(opened: BinaryIO) -> BinaryIO:
    """An open spreadsheet with line breaks and tabs as such, where it marks them: the reader would drop the marks."""
    with zipfile.ZipFile(opened) as archive:
        content = archive.read(CONTENT) if CONTENT in archive.namelist() else b""
        spelt = ODS_TAB.sub(b"\t", ODS_BREAK.sub(b"\n", content))
        if spelt == content:
            opened.seek(0)
            return opened
        packed = BytesIO()
        with zipfile.ZipFile(packed, "w") as made:
            for part in archive.infolist():
                made.writestr(part, spelt if part.filename == CONTENT else archive.read(part))
    packed.seek(0)
    return packed


def _packed(opened: BinaryIO, limits: Limits) -> list[Sheet]:
    try:
        with CalamineWorkbook.from_filelike(opened) as workbook:
            return _sheets(old_workbooks.each_sheet(workbook), limits)
    except CalamineError as error:
        raise UnreadableError(*old_workbooks.fault_of(error)) from error


def _sheets(found: Iterable[old_workbooks.Raw], limits: Limits) -> list[Sheet]:
    sheets: list[Sheet] = []
    for name, is_hidden, rows, merged in found:
        if len(sheets) == limits["sheets_most"]:
            raise UnreadableError("too_many_sheets", str(limits["sheets_most"]))
        texts = ([cell if cell.__class__ is str else text(cell) for cell in row] for row in rows)
        tables = table(numbered(texts), limits)
        sheets.append(Sheet(name.replace("\0", NO_NUL), is_hidden, tables, merged=merged))
    return sheets
