"""Rows of a register that are no items as they stand, each told by what it is: a home or room named above items, a
visit, text that runs on, a result for rooms, a total or a remark."""

import re
from collections.abc import Container, Mapping, Sequence
from itertools import groupby
from typing import Any, NamedTuple

import duckdb
import pandas as pd
import pyarrow as pa

from pipelines import queries
from pipelines.register import labels, layout
from pipelines.register.continuations import repeated, runs_on
from pipelines.register.home_lines import COMMON, LONGEST_NAME, NAMES, Sheet, begun, beside_labels, home_and_visit
from pipelines.register.home_remarks import home_and_remark
from pipelines.register.keys import keys_said
from pipelines.register.layout import PROPERTY, RESULTS
from pipelines.register.lists import rooms_said, says_nothing
from pipelines.register.papers import SECTION, opens_paper
from pipelines.register.reader import Reader
from pipelines.register.remarks import PAGE_FOOT, REMARK, SIGNED, TOTALS, is_count, page_furniture, without_figures
from pipelines.register.spellings import respelt
from pipelines.register.unseen import PLACE, TITLED, as_item, home_again, lists_of_unseen, may_list
from pipelines.register.visit_lines import visit_alone, with_visit, year_alone
from pipelines.register.words import recognise_word

HOME = re.compile(r"\b(flat|apartment|apt|maisonette|unit|block|house|court|road|street|lane|close|avenue)\b", re.I)
NO_ENTRY = re.compile(
    r"^\W*(?:(?:whole|entire|all(?: of)?)\b.*\b(?:property|house|flat|home|dwelling|unit)\b|property\b|dwelling\b"
    r"|tenant\b|occupier\b|resident\b|no (?:access|entry)\b|not accessed\b|access\b|entry\b|inaccessible\b|unable to\b"
    r"|could not\b|refused\b)",
    re.I,
)
"""How a line begins that says that nobody could enter a home, or a room of it."""
WHOLE_HOME = "Whole property"
LONGEST_NUMBER = 6
LINES: dict[str, str] = {"path": "string", "sheet": "string", "row_number": "int32", "line": "string", "text": "string"}
LINES |= dict.fromkeys((*NAMES, "room", "block"), "string")
MENDED = pa.schema(
    [("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("cells", pa.list_(pa.string()))]
)


Line = tuple[str, str | None, Mapping[str, str], str | None, Sequence[tuple[int, str]]]
BLANK: Line = ("layout", None, {}, None, ())


def read(con: duckdb.DuckDBPyConnection, registers: Reader) -> None:
    """Make `thin_lines` (one row a line that is no ordinary item or stands for a table) and `mended_rows` (rows whose
    cells are not as they stood, because a mark repeats the cell above or a text runs on)."""
    found: list[tuple[Any, ...]] = []
    mended: dict[tuple[str, str | None, int], list[str]] = {}
    naming: dict[tuple[str, str | None], set[int]] = {}
    for (path, sheet), lines in groupby(queries.tuples(con, "register", "lines_to_read"), key=lambda row: row[:2]):
        at = Sheet(path, sheet, registers)
        rows_here = list(lines)
        furniture = page_furniture(rows_here)
        unseen = lists_of_unseen(
            [(row[2], row[3], row[6]) for row in rows_here], registers.contents.terms.get("place", {})
        )
        for _, _, number, is_heading, has_property, above, cells, fields, previous in rows_here:
            if is_heading:
                naming.setdefault((path, sheet), set()).update(
                    nth for nth, name in enumerate(fields) if name in PROPERTY
                )
                found.append(_begun(at, number, fields, above, has_property=has_property))
                continue
            kind = unseen.get(number) if may_list(fields) else None
            line, text, names, room, run_on = (
                _of_unseen(at, kind) if kind else _told(at, Thin(cells, fields, previous, furniture))
            )
            block = names.get("address") if line == "layout" and at.is_block(names.get("address", "")) else None
            found.append((path, sheet, number, line, text, *(names.get(name) for name in NAMES), room, block))
            if line == "item" and (said := as_item(cells, fields) if kind else _of_rooms(at, cells, fields)):
                mended[path, sheet, number] = said
            for column, words in run_on:
                row = mended.setdefault((path, sheet, number - 1), list(previous))
                row[column] = f"{row[column].strip()} {words}"
    for (path, sheet), rows in groupby(queries.tuples(con, "register", "rows_with_ditto"), key=lambda row: row[:2]):
        in_full = repeated(((row[2], row[3]) for row in rows), naming.get((path, sheet), ()))
        mended |= {(path, sheet, number): cells for number, cells in in_full}
    queries.insert(con, "thin_lines", pd.DataFrame(found, columns=list(LINES)).astype(LINES))
    changed = [dict(zip(MENDED.names, (*key, cells), strict=True)) for key, cells in mended.items()]
    queries.insert(con, "mended_rows", pa.Table.from_pylist(changed, schema=MENDED))


class Thin(NamedTuple):
    """A row of few cells: these, the fields of the columns, the row above, and what pages have at their foot."""

    cells: Sequence[str]
    fields: Sequence[str | None]
    previous: Sequence[str] | None
    furniture: Container[str]

    @property
    def filled(self) -> list[tuple[int, str]]:
        """The cells that say something, by column."""
        return [(column, cell.strip()) for column, cell in enumerate(self.cells) if cell.strip()]


def _begun(
    sheet: Sheet,
    number: int,
    fields: Sequence[str | None],
    above: Sequence[Mapping[str, str | None]],
    *,
    has_property: bool,
) -> tuple[Any, ...]:
    """The line of a heading: the property and visit that hold for its table."""
    home = begun(sheet, fields, above, has_property)
    return sheet.path, sheet.name, number, "layout", None, *home, None, sheet.said.get("address")


def _of_unseen(sheet: Sheet, kind: str) -> Line:
    """The line of a row in a list of places that nobody saw; its title names the home once more."""
    return "item" if kind == PLACE else "layout", None, home_again(sheet) if kind == TITLED else {}, None, ()


def _told(sheet: Sheet, row: Thin) -> Line:
    """What a thin row is; what a blank one says stands in other lines, and what explains codes is read with them."""
    said = [cell for _, cell in row.filled]
    if len(said) > 1 and keys_said(said):
        return "layout", said[0], {}, None, ()
    return _line(sheet, row) if said else BLANK


def _line(sheet: Sheet, row: Thin) -> Line:
    """What a thin row is: its line, its text, the property or room that it names, and what it adds to the row above."""
    filled = row.filled
    text = filled[0][1]
    if TOTALS.match(text) or is_count([cell for _, cell in filled]):
        return "totals", text, {}, None, ()
    if SIGNED.match(text) or PAGE_FOOT.match(text) or _is_next_number(sheet, filled, row.previous):
        return "remark", text, {}, None, ()
    if both := home_and_visit(sheet, [cell for _, cell in filled]):
        return "layout", text, both, None, ()
    pairs = with_visit(labels.pairs_said([cell for _, cell in filled], sheet.reader.context_of))
    if pairs and pairs.keys().isdisjoint((*PROPERTY, *pairs.values())):
        pairs = beside_labels(sheet, [cell for _, cell in filled if cell not in pairs.values()]) | pairs
    if not pairs and (home := home_and_remark(sheet, [cell for _, cell in filled])):
        return "item" if sheet.says_result(filled[1][1]) else "layout", text, home, None, ()
    pairs = pairs or visit_alone(text, sheet.reader.contents.terms.get("survey_type", {}))
    if pairs:
        return "layout", text, sheet.below(pairs), None, ()
    return _unlabelled(sheet, row)


def _unlabelled(sheet: Sheet, row: Thin) -> Line:
    """What a thin row is that names no home or visit beside anything else."""
    filled, fields, previous = row.filled, row.fields, row.previous
    column, text = filled[0]
    if says_nothing([text for _, text in filled], sheet.reader.contents.terms):
        return "remark", text, {}, None, ()
    is_of_rooms = _of_rooms(sheet, row.cells, fields) is not None
    is_home = len(filled) == 1 and sheet.is_home_of_street(text)
    if not (is_of_rooms or is_home) and previous and column and runs_on(filled, fields, previous, sheet.says_alone):
        return "layout", text, {}, None, filled
    is_finding = column < len(fields) and fields[column] == "product" and sheet.says_alone(text)
    if is_of_rooms or len(filled) > 1 or is_finding:
        return "item", text, {}, None, ()
    return _alone(sheet, text, fields[column] if column < len(fields) else None, row.furniture)


def _is_next_number(sheet: Sheet, filled: Sequence[tuple[int, str]], previous: Sequence[str] | None) -> bool:
    """Whether a row holds nothing but the number that follows that of the row above."""
    column, text = filled[0]
    number, before = (one.removesuffix(".0") for one in (text, layout.at_or_blank(previous or (), column)))
    if len(filled) > 1 or not number.isdigit() or len(number) > LONGEST_NUMBER:
        return False
    is_next = int(number) in (sheet.number + 1, int(before) + 1 if before.isdigit() else 0)
    sheet.number = int(number) if is_next else 0
    return is_next


def _alone(sheet: Sheet, text: str, field_of: str | None, furniture: Container[str]) -> Line:
    """What a row of one cell is that says nothing by a label, nor a result."""
    if field_of in (None, *NAMES) and (year := year_alone(text)):
        return "layout", text, year, None, ()
    rooms = sheet.reader.contents.terms.get("place", {})
    place = recognise_word("place", text, rooms)
    if place[1] == "known" and not (COMMON.search(text) and sheet.said.get("address")):
        return "layout", text, {}, text, ()
    if without_figures(text) in furniture:
        return "remark", text, {}, None, ()
    if opens_paper(text):
        sheet.home = {}
        return "one cell", text, {}, None, ()
    if home := sheet.names(text):
        sheet.home = home
        return "layout", text, sheet.at(text), None, ()
    is_room = field_of == "room" and (place[0] or respelt(text, rooms, {}))
    if is_room and not HOME.search(text):
        return "layout", text, {}, text, ()
    is_remark = (
        REMARK.search(text)
        or SECTION.match(text)
        or len(text) > LONGEST_NAME
        or (text.endswith(":") and sheet.says_result(text))
    )
    return ("remark" if is_remark else "one cell"), text, {}, None, ()


def _is_no_entry(sheet: Sheet, cells: Sequence[str], fields: Sequence[str | None]) -> bool:
    """Whether a row of one cell says that nobody could enter the home that stands above it, or a room of it."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if len(filled) != 1 or len(filled[0]) > LONGEST_NAME or not NO_ENTRY.match(filled[0]):
        return False
    results = sheet.reader.contents.terms.get("identification", {})
    is_of_home = bool(sheet.home) or any(name in sheet.said for name in PROPERTY)
    can_say = "room" in fields and any(name in fields for name in RESULTS)
    return is_of_home and can_say and recognise_word("identification", filled[0], results)[0] == "no_access"


def _of_rooms(sheet: Sheet, cells: Sequence[str], fields: Sequence[str | None]) -> list[str] | None:
    """A row that says something of rooms, or that nobody could enter a home, with that as the result of them."""
    if "room" not in fields or not any(name in fields for name in RESULTS):
        return None
    terms = sheet.reader.contents.terms
    filled = [cell.strip() for cell in cells if cell.strip()]
    names_home = any(
        cell.strip() and ":" not in cell and name in PROPERTY for cell, name in zip(cells, fields, strict=False)
    )
    if names_home or not (said := rooms_said(filled, terms)):
        if not _is_no_entry(sheet, cells, fields):
            return None
        text = filled[0]
        said = (text if recognise_word("place", text, terms.get("place", {}))[0] else WHOLE_HOME), text
    row = [""] * max(len(cells), len(fields))
    row[fields.index("room")], row[next(fields.index(name) for name in RESULTS if name in fields)] = said
    return row
