"""Rows of a workbook that are struck through: what people cross out without saying why.

Office Open XML (ISO/IEC 29500-1, 18.3.1.4, 18.4.10 and 18.8; from memory) keeps it apart from the text, in the font
that a cell's style names. Other kinds of workbook are not asked.
"""

import posixpath
import re
import zipfile
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import BinaryIO
from xml.etree.ElementTree import Element, ParseError, fromstring, iterparse

BOOK, STYLES = "xl/workbook.xml", "xl/styles.xml"
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
OFF = ("0", "false", "none")
ROW = re.compile(r"\d+$")


def rows(opened: BinaryIO) -> Mapping[str, frozenset[int]]:
    """The numbers of the rows, by sheet, most of whose filled cells are struck through."""
    try:
        with zipfile.ZipFile(opened) as archive:
            styles = _struck_styles(archive)
            return {name: _rows(archive, part, styles) for name, part in _sheets(archive)} if styles else {}
    except (KeyError, ParseError, ValueError, IndexError):
        return {}  # no such parts, or not as expected: the cells are read by another library, and none counts as struck


def _struck_styles(archive: zipfile.ZipFile) -> frozenset[str]:
    """The styles of cells, by number, whose font is struck through."""
    if STYLES not in archive.namelist() or b"strike" not in (written := archive.read(STYLES)):
        return frozenset()
    root = fromstring(written)
    fonts = [_is_struck(font) for font in root.iterfind(f"{MAIN}fonts/{MAIN}font")]
    cells = root.iterfind(f"{MAIN}cellXfs/{MAIN}xf")
    return frozenset(str(nth) for nth, cell in enumerate(cells) if fonts[int(cell.get("fontId", "0"))])


def _is_struck(font: Element) -> bool:
    mark = font.find(f"{MAIN}strike")
    return mark is not None and mark.get("val", "1") not in OFF


def _sheets(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """The name of each sheet, and the part that holds it."""
    told = fromstring(archive.read("xl/_rels/workbook.xml.rels"))
    parts = {one.get("Id"): one.get("Target", "") for one in told}
    for sheet in fromstring(archive.read(BOOK)).iterfind(f"{MAIN}sheets/{MAIN}sheet"):
        target = parts[sheet.get(RELATION)]
        yield sheet.get("name", ""), target.lstrip("/") if target.startswith("/") else posixpath.join("xl", target)


def _rows(archive: zipfile.ZipFile, part: str, styles: frozenset[str]) -> frozenset[int]:
    filled, struck = Counter[int](), Counter[int]()
    with archive.open(part) as unpacked:
        for _, cell in iterparse(unpacked):
            if cell.tag == f"{MAIN}c" and len(cell) and (number := ROW.search(cell.get("r", ""))):
                filled[int(number[0])] += 1
                struck[int(number[0])] += cell.get("s") in styles
            if cell.tag == f"{MAIN}row":
                cell.clear()
    return frozenset(number for number, cells in filled.items() if 2 * struck[number] > cells)
