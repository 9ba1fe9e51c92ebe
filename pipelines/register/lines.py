"""Lines of a register that are no items by themselves: a property's name or a room above its items, text that runs on,
totals, and marks that repeat the cell above."""

import re
from collections import Counter
from collections.abc import Callable, Collection, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import PurePosixPath
from typing import Any

import duckdb
import pandas as pd
import pyarrow as pa

from pipelines import queries
from pipelines.register import layout
from pipelines.register.dates import is_date
from pipelines.register.layout import CONTINUED
from pipelines.register.lists import rooms_said, says_nothing
from pipelines.register.reader import Reader
from pipelines.register.words import plain, recognise_word, respelt

NAMES = ("property_ref", "uprn", "address", "postcode", "survey_type", "surveyed_on", "surveyor", "organisation")
PROPERTY, VISIT = layout.PROPERTY, NAMES[4:]
RUNS_ON = ("product", "position", "notes", "recommendation", "room")
TOTALS = re.compile(
    r"^\s*(?:(?:grand|sub|page)?[\s-]*totals?\b|(?:site|block|page|sheet|property) (?:items|samples|acms?)\W"
    r"|(?:no\.?|number|count) of (?:items|entries|lines|records|samples|acms?|homes|properties)\b"
    r"|(?:items|entries|records|lines|acms?) (?:on|in) (?:the |this )?(?:register|list|sheet)\b)",
    re.I,
)
PAGE_FOOT = re.compile(
    r"^(?:no\.? of )?(?:samples|items|entries)\s+(?:(?:on|taken)\s+)?(?:this|the)\s+(?:page|sheet)\b"
    r"|^[a-z][\w.'-]*[:,]?\s+\d+ samples?(?: taken)?(?: in all| in total| on this page)?\W*$",
    re.I,
)
"""How many samples a page or a surveyor has: `Samples this page: 6`, `Jack: 16 samples`."""
REMARK = re.compile(r"^\s*(note|notes|nb|n\.b\.|page|photo|key|legend|end of|continued|cont|\*|©)|\bpage \d", re.I)
SIGNED = re.compile(
    r"^(?:(?:signed|checked|chkd|approved|authorised)\.?(?: by|:)?(?:\s|$)"
    r"|(?:typed|end of (?:list|register|schedule|sheet))\b)",
    re.I,
)
UNIT = r"(?:(?:flat|apartment|apt|maisonette|unit|bedsit|studio)\.?)"
FLAT = re.compile(
    rf"^\s*{UNIT}?\s*(no\.?|nr\.?|number)?\s*\d{{1,4}}\s*[a-z]?\s*$|^\s*{UNIT}\s*(?:no\.?\s*)?[a-z]\d?\s*$"
    r"|^\s*(?:(?:lower |upper )?ground|basement|first|second|third|top|1st|2nd|3rd) floor (?:flat|maisonette)\s*$",
    re.I,
)
UNIT_OF_SAME = re.compile(rf"^\s*({UNIT}?\s*(?:no\.?\s*)?\d{{1,4}}\s?[a-z]?)[\s,]+(?:do\.?|-do-|ditto)\s*$", re.I)
"""Another home of the street or block above: `Flat 11, -do-`."""
UNIT_FIRST = re.compile(rf"^\s*{UNIT}?\s*(?:no\.?\s*)?\d{{1,4}}\s?[a-z]?\b[\s,]*", re.I)
SHARED_PART = re.compile(r",?\s*\b(?:communal|common)\b.*$", re.I)
OF_SAME = re.compile(r"\b(of) (?:the )?same\b(?! (?:as|type|kind|sort|age)\b)", re.I)
HOME = re.compile(r"\b(flat|apartment|apt|maisonette|unit|block|house|court|road|street|lane|close|avenue)\b", re.I)
NO_ENTRY = re.compile(
    r"^\W*(?:(?:whole|entire|all(?: of)?)\b.*\b(?:property|house|flat|home|dwelling|unit)\b|property\b|dwelling\b"
    r"|tenant\b|occupier\b|resident\b|no (?:access|entry)\b|not accessed\b|access\b|entry\b|inaccessible\b|unable to\b"
    r"|could not\b|refused\b)",
    re.I,
)
"""How a line begins that says that nobody could enter a home, or a room of it."""
RESULTS = ("identification", "asbestos_types")
WHOLE_HOME = "Whole property"
COMMON = re.compile(r"\b(communal|comm|common|landlord'?s?)\b", re.I)
DATED = re.compile(r"\b(?:surveyed|inspected|visited)(?: on)?:?\s+([\w./ -]+?)\s*$", re.I)
VISIT_WORD = (
    r"(?:surveyed|inspected|visited|seen|called|done|checked|void|re-?insp\w*|surveyor|survey date|inspection date"
    r"|date of (?:survey|inspection|visit)|date)"
)
BETWEEN = re.compile(
    r"\.\s{2,}|(?<=\d)\.\s+(?=[A-Z])|\s+[-–—]\s+|\s*[|;\t()]\s*|,\s+|\s{2,}"
    rf"|(?<!survey)(?<!inspection)(?<!last)(?<!not)\s+(?={VISIT_WORD}\b[\s:])",
    re.I,
)
OF_LAST_VISIT = re.compile(rf"^(?:last|prev(?:ious(?:ly)?)?)\s+{VISIT_WORD}\b", re.I)
WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*,? )?"
DAY = re.compile(
    rf"^({VISIT_WORD}(?: on)?[\s:]*)?(?:also )?{WEEKDAY}"
    r"((?:\d{1,2} ?(?:&|and|to|-|–) ?)?\d{1,2}(?:st|nd|rd|th)?[ /.-]\w{1,9}[ /.-]\d{4}|\d{1,2}[/.]\d{1,2}[/.]\d\d"
    r"|\d{4}-\d\d-\d\d)(?:,? by (.+)|\s[^\d]*)?$",
    re.I,
)
DAYS = re.compile(r"^(\d{1,2}[/.]\d{1,2}[/.](?:\d{4}|\d\d))\s*(?:and|&|then|\+)\s*(?=\d)")
"""The first of two days of visits: `15/3/12 and 20/3/12`."""
INITIALS = re.compile(r"^[A-Z]{2,3}(?: ?[/&,] ?[A-Z]{2,3})*$")
VISITED = re.compile(
    rf"^(?:{VISIT_WORD}|insp(?:'?d)?\.?)(?: on)?[\s:]+{WEEKDAY}"
    r"(?P<day>[\dol]{1,4}(?:st|nd|rd|th)?[ /.-]\w{1,9}[ /.-][\dol]{2,4}|[a-z]{3,9}\.? (?:19|20)?\d\d|-?do\.?-?|ditto)"
    r"(?:(?:,? by |[\s,]+)(?P<who>[^(\d]{1,40}?))?[\s,]*(?:\(.*\))?$",
    re.I,
)
"""A cell that only says when a home was visited, and who came: `Insp. 14.5.98  D.W.`, `Inspected June 98`."""
NTH_VISIT = re.compile(r"^(?:visit|survey|inspection)(?: no\.?)? ?\d*:?$", re.I)
NUMBERED = re.compile(r"^(?=\S*[A-Za-z])(?=\S*\d)\S{3,}\s+[-–:]?\s*(?=\S)")
"""A number of another list before an address: `V20117  14 Elm Road`."""
NTH_SITE = re.compile(
    r"^(?:site|property|prop|premises|survey|job)\.?\s*(?:no\.?|nr\.?|number)?\s*\d{1,4}[a-z]?"
    r"(?:\s*[-–—:]\s*|\.\s+|\s{2,})(?=\S)",
    re.I,
)
"""A number of the report's own before an address: `SITE 03  -  16 Elm Road`."""
ADDRESS_BEGINS = re.compile(rf"^(?:{UNIT}|no\.?|block)?\s*(?!(?:19|20)\d\d\b)\d+\w?\b", re.I)
PERSON = re.compile(r"^(?:(?i:surveyor|surveyed by|inspected by|by)[\s:]+(\S.*)|((?:[A-Z]\.? ?){1,2}[A-Z][a-z'-]+))$")
SHEET_OF_NO_NAME = re.compile(r"^(sheet|table|page|register|data)?[ _-]*\d*$", re.I)
OF_HOMES = re.compile(r"\s+[-–—]\s+(?:flats?|nos?\.?|numbers?|houses?|homes|communal|common)\b.*$", re.I)
"""What a title says of the homes of a block: `Larch Court - Flats 1 to 8`."""
KIND_OF_HOMES = re.compile(
    r"(?<=[a-z]) (?:bungalows|houses|flats|homes|maisonettes|garages|sheltered(?: (?:scheme|housing))?)\s*(?:,|$)", re.I
)
"""What a title says of all homes of a street or block: `Elm Close bungalows, Anytown`."""
HOME_NUMBER = re.compile(r"^\d{1,4}[a-z]?,?\s+(?=[a-z])", re.I)
HOME_ENDS = re.compile(r",|\s*\(|\s+[-–—]\s+")
DASHED = re.compile(r"\s+[-–—]\s+")
CODE = r"\b[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}\b"
BEHIND_CODE = re.compile(rf"({CODE})(?:[.;]\s|\s{{2,}}).*$", re.I)
"""What a line says of a home whose address ends with its postcode: `4 Elm Road, ZZ1 2AB. House.`"""
KIND_OR_CODE = re.compile(
    rf"^(?:garages|lock-?ups|stores|flats|houses|bungalows)(?:,| at| in| off| to)?\s+|,?\s*{CODE}\W*$", re.I
)
AGAIN = re.compile(r"\s+(?:again|revisited|second visit)\W*$", re.I)
OTHER_REFERENCE = re.compile(r"\bref(erence)?\b", re.I)
LONGEST_NAME = 80
LONGEST_NUMBER = 6
A_YEAR = re.compile(r"\b(?:19|20)\d\d\b")
FURNITURE = re.compile(
    r"\b(page|items?|printed|issued|report|register|survey|copyright|positives?|total|entries|form|rev|version)\b", re.I
)
FEWEST_PAGES = 3

LINES: dict[str, str] = {"path": "string", "sheet": "string", "row_number": "int32", "line": "string", "text": "string"}
LINES |= dict.fromkeys((*NAMES, "room", "block"), "string")
MENDED = pa.schema(
    [("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("cells", pa.list_(pa.string()))]
)


@dataclass
class Sheet:
    """What a reader of lines knows when it comes to a row: the block and visit that the lines above named."""

    path: str
    name: str | None
    reader: Reader
    said: dict[str, str] = field(default_factory=dict)
    is_visit_of_home: bool = False
    number: int = 0
    """The last number that stood alone in its row."""
    home: Mapping[str, str] = field(default_factory=dict)
    """The property that a line above named."""
    visit: Mapping[str, str] = field(default_factory=dict)
    """The visit that stood beside a property in a line above."""
    fields: Sequence[str | None] = ()
    """What the columns of the table hold."""

    def begin(self, fields: Sequence[str | None], has_property: bool) -> bool:
        """Begin a table: one of other columns that names its homes itself is not of the visit to the home above it.
        Whether that is so."""
        home = self.home or self.said
        is_home = "property_ref" in home or ADDRESS_BEGINS.match(home.get("address", "")) is not None
        is_another = has_property and is_home and bool(self.fields) and list(self.fields) != list(fields)
        self.fields = fields
        if is_another and self.is_visit_of_home:
            self.said = {name: value for name, value in self.said.items() if name not in VISIT}
        return is_another

    def hear(self, pairs: Mapping[str, str]) -> None:
        """Take in what a line says: another property drops what was said of the one before, its visit too if that was
        said below it."""
        names_home = any(name in pairs for name in PROPERTY)
        if names_home:
            self.home = {}
            kept = () if self.is_visit_of_home else VISIT
            self.said = {name: value for name, value in self.said.items() if name in kept}
            self.is_visit_of_home = False
        if any(name in pairs for name in VISIT) and any(name in self.said or name in pairs for name in PROPERTY):
            self.is_visit_of_home = True
        self.said = self.said | dict(pairs)

    def below(self, pairs: Mapping[str, str]) -> Mapping[str, str]:
        """What holds below a line of labelled values: a visit is of the home that a line named above it."""
        if self.home and pairs.keys().isdisjoint(PROPERTY):
            return {**self.home, **pairs}
        self.hear(pairs)
        return self.said

    def at(self, text: str) -> dict[str, str]:
        """What holds below a line that names a property: it, and the visit named above or in its brackets."""
        visit = {name: value for name, value in self.said.items() if name not in PROPERTY} | apart(text)[1]
        if (dated := DATED.search(text)) and is_date(dated[1]):
            visit["surveyed_on"] = dated[1]
        bracket = re.search(r"\((.*)\)", text)
        return visit | dict(layout.labelled([bracket[1]], lambda _: None) if bracket else ()) | (self.names(text) or {})

    def is_in_stock(self, text: str) -> bool:
        """Whether a text is an address or block of the stock list, or begins with a street of it."""
        known, begins = self.reader.contents.stock, plain(re.split(r",|\s\d", DASHED.split(text)[0])[0])
        begins = plain(KIND_OF_HOMES.sub("", begins))
        is_whole = any(plain(text) in known.get(name, ()) for name in ("address", "building_name"))
        return is_whole or begins in known.get("street", ())

    def _of_stock(self, text: str) -> str | None:
        """An address, street or block of the stock list, without what stands behind it; also `Garages, High Street`."""
        if self.is_in_stock(text):
            head, *tail = DASHED.split(text, maxsplit=1)
            return text if any(map(FLAT.match, tail)) else head
        street = KIND_OR_CODE.sub("", text)
        return text if street != text and self.is_in_stock(street) else None

    def is_home_of_street(self, text: str) -> bool:
        """Whether a text is a number at a street of the stock list, and what stands behind a dash or in brackets."""
        number = HOME_NUMBER.match(text)
        street = HOME_ENDS.split(text[number.end() :])[0] if number else ""
        return bool(street) and plain(street) in self.reader.contents.stock.get("street", ())

    def _without_remark(self, text: str) -> str:
        """A home of a street of the stock list without what stands behind a dash: `9 Elm Row - tenant in`."""
        head, *tail = DASHED.split(text)
        return head if self.is_home_of_street(text) and not any(map(FLAT.match, tail)) else text

    def is_block(self, text: str) -> bool:
        """Whether a text names a street or block of the stock list, and no home of it."""
        return not ADDRESS_BEGINS.match(text) and self.is_in_stock(text)

    def says_alone(self, text: str) -> bool:
        """Whether a text is a finding of its own: that nothing was found, or that nobody could look."""
        return self.says_result(text) in ("not_suspect", "no_access")

    def says_result(self, text: str) -> str | None:
        """The result that the words of a text say."""
        return recognise_word("identification", text, self.reader.contents.terms.get("identification", {}))[0]

    def names(self, text: str) -> dict[str, str] | None:
        """The property that a line without label names: by a reference of the stock list, or as an address."""
        if REMARK.search(text) or layout.begins_with_day(text):
            return None
        text = NTH_SITE.sub("", CONTINUED.sub("", apart(text)[0]))
        text = KIND_OF_HOMES.sub(",", text, count=1).strip(" ,")
        tokens = [token for token in re.split(r"[\s,;:()]+", text) if token]
        known = self.reader.contents.stock.get("property_ref", frozenset())
        whole = plain(text)
        reference = text if whole in known else next((token for token in tokens if plain(token) in known), None)
        block = self.said.get("address")
        text = OF_HOMES.sub("", re.sub(r"\s*\([^()]*\)?\s*$", "", text))
        text = AGAIN.sub("", BEHIND_CODE.sub(r"\1", text))
        if reference:
            return {"property_ref": reference}
        if of_stock := self._of_stock(text):
            return {"address": of_stock}
        text = self._without_remark(text)
        if (before := NUMBERED.match(text)) and ADDRESS_BEGINS.match(text[before.end() :]):
            text = text[before.end() :]
        if block and FLAT.match(text):
            flat = text if re.search(r"[a-z]{2}", text, re.I) else f"Flat {text}"
            return {"address": f"{flat}, {block}"}
        if block and COMMON.search(text):
            return {"address": block}
        if OTHER_REFERENCE.search(text) or FURNITURE.search(text):
            return None
        if len(text) <= LONGEST_NAME and self.reader.contents.share("address", [A_YEAR.sub("", text)]):
            return {"address": text}
        return None


def apart(text: str) -> tuple[str, dict[str, str]]:
    """What names a property, and the visit that stands behind it: `12 Elm Road, surveyed 6 May 2014 by A. Person`."""
    found = list(BETWEEN.finditer(text))
    ends = [*(one.start() for one in found), len(text)]
    name, visit = text[: ends[0]], dict[str, str]()
    for between, end in zip(found, ends[1:], strict=True):
        if between[0].startswith(".") and "surveyed_on" in visit:
            break  # a remark on the visit
        piece = text[between.end() : end].strip(" .")
        first = DAYS.match(piece)
        piece = piece[first.end() :] if first else piece
        if (day := DAY.match(piece)) and is_date(day[2]):
            said = f"{day[2]} (also {first[1]})" if first else day[2]
            visit |= {"surveyed_on": said} | ({"surveyor": day[3]} if day[3] else {})
        elif (person := PERSON.match(piece)) and "surveyor" not in visit:
            visit["surveyor"] = person[1] or person[2]
        elif piece and not OF_LAST_VISIT.match(piece):
            name += text[between.start() : end]
    return (name.strip(" ,;-–—"), visit) if "surveyed_on" in visit else (text, {})


def _visit(text: str, survey_types: Mapping[str, str]) -> dict[str, str]:
    """A line that only says when a home was surveyed, how and by whom: `Surveyed 4/3/2019   Refurbishment   KD`."""
    first, *others = [piece for one in BETWEEN.split(text) if (piece := one.strip())] or [""]
    is_counted = NTH_VISIT.match(first) is not None and len(others) > 0
    if is_counted:
        first, *others = others
    day = DAY.match(first)
    is_signed = bool(others) and all(PERSON.match(piece) or INITIALS.match(piece) for piece in others)
    if not day or not (day[1] or is_counted or is_signed) or not is_date(day[2]):
        return {}
    said = {"surveyed_on": day[2]} | ({"surveyor": day[3]} if day[3] else {})
    for piece in others:
        person = PERSON.match(piece) or INITIALS.match(piece)
        if person:
            said.setdefault("surveyor", next((one for one in person.groups() if one), piece))
        elif recognise_word("survey_type", piece, survey_types)[0]:
            said.setdefault("survey_type", piece)
    return said


def home_and_visit(sheet: Sheet, texts: Sequence[str]) -> dict[str, str]:
    """What a line says whose first cell names a home and whose others say only when it was visited, and by whom."""
    name, *others = texts
    said = [VISITED.match(text) for text in others]
    home = sheet.names(_of_same(name, sheet.home.get("address", ""))) if said and all(said) else None
    visit = dict[str, str]()
    for one in filter(None, said):
        if layout.is_ditto(one["day"]):
            visit |= sheet.visit
        elif is_date(one["day"]):
            visit["surveyed_on"] = one["day"]
        else:
            return {}
        if one["who"]:
            visit["surveyor"] = one["who"].strip()
    if not home:
        return {}
    sheet.home, sheet.visit = home, visit
    of_all = () if sheet.is_visit_of_home else VISIT
    return {name: value for name, value in sheet.said.items() if name in of_all} | visit | home


def _of_same(text: str, above: str) -> str:
    """An address whose street or block is that of the line above: `Flat 11, -do-` below `Flat 3, Elm Court`."""
    unit = UNIT_OF_SAME.match(layout.IN_BRACKETS.sub("", text))
    return f"{unit[1]} {UNIT_FIRST.sub('', above)}" if unit and above else text


def _with_visit(pairs: dict[str, str]) -> dict[str, str]:
    """Labelled values, with the visit that stands behind the property in one of them."""
    for name in ("property_ref", "address"):
        if name in pairs:
            said, visit = apart(pairs[name])
            pairs = visit | pairs | {name: said}
    return pairs


def read(con: duckdb.DuckDBPyConnection, registers: Reader) -> None:
    """Make `thin_lines` (one row a line that is no ordinary item or stands for a table) and `mended_rows` (rows whose
    cells are not as they stood, because a mark repeats the cell above or a text runs on)."""
    thin = queries.tuples(con, "register", "lines_to_read")
    found: list[tuple[Any, ...]] = []
    mended: dict[tuple[str, str | None, int], list[str]] = {}
    naming: dict[tuple[str, str | None], set[int]] = {}
    for (path, sheet), lines in groupby(thin, key=lambda row: row[:2]):
        at = Sheet(path, sheet, registers)
        rows_here = list(lines)
        furniture = _furniture(rows_here)
        for _, _, number, is_heading, has_property, above, cells, fields, previous in rows_here:
            if is_heading:
                naming.setdefault((path, sheet), set()).update(
                    nth for nth, name in enumerate(fields) if name in PROPERTY
                )
                home = _begun(at, fields, above, has_property)
                found.append((path, sheet, number, "layout", None, *home, None, at.said.get("address")))
                continue
            line, text, names, room, run_on = _line(at, cells, fields, previous, furniture)
            block = names.get("address") if line == "layout" and at.is_block(names.get("address", "")) else None
            found.append((path, sheet, number, line, text, *(names.get(name) for name in NAMES), room, block))
            if line == "item" and (said := _of_rooms(at, cells, fields)):
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


def repeated(
    rows: Iterable[tuple[int, Sequence[str]]], of_property: Collection[int] = ()
) -> Iterable[tuple[int, list[str]]]:
    """The rows in which a mark repeats the cell above, with that in its place; where it repeats the property, also the
    day above if it is blank. of_property: the columns that name it."""
    last: list[str] = []
    for number, written in rows:
        cells = list(written)
        marks = [at for at, cell in enumerate(cells) if cell.strip().lower() in layout.DITTO and at < len(last)]
        named = [at for at in of_property if layout.at_or_blank(cells, at)]
        is_same = bool(named) and all(at in marks for at in named)
        cells = [
            _as_above(cell, last[at] if at < len(last) else "", at in of_property) for at, cell in enumerate(cells)
        ]
        filled = [
            last[at] if at in marks or (is_same and at < len(last) and not cell.strip() and is_date(last[at])) else cell
            for at, cell in enumerate(cells)
        ]
        last = [cell if cell.strip() or at >= len(last) else last[at] for at, cell in enumerate(filled)] + last[
            len(filled) :
        ]
        if filled != list(written):
            yield number, filled


def _as_above(cell: str, above: str, is_of_property: bool) -> str:
    """A cell part of which is the one above: `6A do.` below `1 Hobbin Close`, `bits of same` below `Pipe lagging`."""
    if is_of_property:
        return _of_same(cell, SHARED_PART.sub("", above))
    return OF_SAME.sub(lambda said: f"{said[1]} {above}", cell) if above else cell


def _begun(
    sheet: Sheet, fields: Sequence[str | None], above: Sequence[Mapping[str, str | None]], has_property: bool
) -> list[str | None]:
    """The property and visit that hold for a table that begins; a blank ends what lines above said of a visit."""
    is_another = sheet.begin(fields, has_property)
    home = _home(sheet, above, has_property)
    if not is_another:
        return home
    return [one or ("" if name in VISIT else None) for name, one in zip(NAMES, home, strict=True)]


def _home(sheet: Sheet, above: Sequence[Mapping[str, str | None]], has_property: bool) -> list[str | None]:
    """The property and visit that hold for a table, from what stands above it, the sheet's name, or the file's.

    What an earlier table of the sheet said goes on to hold where this one says nothing of it.
    """
    pairs = _with_visit({str(said["field"]): str(said["value"]) for said in above if said["field"]})
    lines = [said["value"] or "" for said in above if not said["field"]]
    known = sheet.reader.contents.stock.get("property_ref", frozenset())
    survey_types = sheet.reader.contents.terms.get("survey_type", {})
    pairs = next((visit for line in lines if (visit := _visit(line, survey_types))), {}) | pairs
    within: Mapping[str, str] = {}
    if has_property:
        within = next((named for line in lines if (named := sheet.names(line)) and "address" in named), _by_file(sheet))
    elif not pairs.keys() & set(PROPERTY) or plain(pairs.get("property_ref", "")) not in known:
        within = next((sheet.at(line) for line in lines if sheet.names(line)), {})
        if not within and not sheet.said.keys() & set(PROPERTY):
            pairs = _by_file(sheet) | pairs
    if not pairs and not within and sheet.said:
        return [None] * len(NAMES)
    block = sheet.said.get("address")
    sheet.hear(pairs)
    if within and not (block and within.get("address", "").endswith(f", {block}")):
        sheet.hear({name: value for name, value in within.items() if name not in pairs})
    if "surveyed_on" not in sheet.said:
        sheet.hear(next((visit for line in lines if (visit := apart(line)[1])), {}))
    said = {**sheet.said, **within, **pairs}
    return [None if has_property and name in PROPERTY else said.get(name) for name in NAMES]


def _by_file(sheet: Sheet) -> dict[str, str]:
    """A sheet or file of one property may bear its reference or address as its name."""
    for name in (sheet.name or "", PurePosixPath(sheet.path).stem):
        text = name.replace("_", " ").strip()
        names = sheet.names(text) if text and not SHEET_OF_NO_NAME.match(text) else None
        if names and ("property_ref" in names or ADDRESS_BEGINS.match(text) or sheet.is_in_stock(text)):
            return names
    return {}


Line = tuple[str, str | None, Mapping[str, str], str | None, Sequence[tuple[int, str]]]


def _line(
    sheet: Sheet,
    cells: Sequence[str],
    fields: Sequence[str | None],
    previous: Sequence[str] | None,
    furniture: Container[str],
) -> Line:
    """What a thin row is: its line, its text, the property or room that it names, and what it adds to the row above."""
    filled = [(column, cell.strip()) for column, cell in enumerate(cells) if cell.strip()]
    column, text = filled[0]
    if TOTALS.match(text):
        return "totals", text, {}, None, ()
    if SIGNED.match(text) or PAGE_FOOT.match(text) or _is_next_number(sheet, filled, previous):
        return "remark", text, {}, None, ()
    if both := home_and_visit(sheet, [cell for _, cell in filled]):
        return "layout", text, both, None, ()
    pairs = _with_visit(layout.pairs_said([cell for _, cell in filled], sheet.reader.context_of))
    if pairs and pairs.keys().isdisjoint((*PROPERTY, *pairs.values())):
        pairs = _beside_labels(sheet, [cell for _, cell in filled if cell not in pairs.values()]) | pairs
    pairs = pairs or _visit(text, sheet.reader.contents.terms.get("survey_type", {}))
    if pairs:
        return "layout", text, sheet.below(pairs), None, ()
    if says_nothing([text for _, text in filled], sheet.reader.contents.terms):
        return "remark", text, {}, None, ()
    is_of_rooms = _of_rooms(sheet, cells, fields) is not None
    is_home = len(filled) == 1 and sheet.is_home_of_street(text)
    if not (is_of_rooms or is_home) and previous and column and _runs_on(filled, fields, previous, sheet.says_alone):
        return "layout", text, {}, None, filled
    is_finding = column < len(fields) and fields[column] == "product" and sheet.says_alone(text)
    if is_of_rooms or len(filled) > 1 or is_finding:
        return "item", text, {}, None, ()
    return _alone(sheet, text, fields[column] if column < len(fields) else None, furniture)


def _beside_labels(sheet: Sheet, texts: Sequence[str]) -> dict[str, str]:
    """The property that a line names without a label, beside values with one: `SITE 12 | 7 Elm Court | Date: | ...`."""
    first, *others = texts or [""]
    if sheet.is_in_stock(first):
        return sheet.names(first) or {}
    homes = (text for text in others if ADDRESS_BEGINS.match(text) or sheet.is_in_stock(text))
    return next((named for text in homes if "address" in (named := sheet.names(text) or {})), {})


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
    rooms = sheet.reader.contents.terms.get("place", {})
    place = recognise_word("place", text, rooms)
    if place[1] == "known" and not (COMMON.search(text) and sheet.said.get("address")):
        return "layout", text, {}, text, ()
    if _without_figures(text) in furniture:
        return "remark", text, {}, None, ()
    if home := sheet.names(text):
        sheet.home = home
        return "layout", text, sheet.at(text), None, ()
    is_room = field_of == "room" and (place[0] or respelt(text, rooms, {}))
    if is_room and not HOME.search(text):
        return "layout", text, {}, text, ()
    is_remark = REMARK.search(text) or len(text) > LONGEST_NAME or (text.endswith(":") and sheet.says_result(text))
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


def _runs_on(
    filled: Sequence[tuple[int, str]],
    fields: Sequence[str | None],
    previous: Sequence[str],
    says_alone: Callable[[str], bool],
) -> bool:
    """Whether a row goes on with what the row above began: one cell alone, several if they begin in small letters."""
    if any(map(says_alone, (text for _, text in filled))):
        return False
    goes_on = all(
        column < min(len(fields), len(previous))
        and (fields[column] in RUNS_ON or (fields[column] in RESULTS and text[0].islower()))
        and previous[column].strip()
        for column, text in filled
    )
    return goes_on and (len(filled) == 1 or filled[0][1][0].islower())


def _furniture(lines: Iterable[tuple[Any, ...]]) -> set[str]:
    """The lines of one cell that come again and again but for their figures, as heads and feet of pages do."""
    alone = [
        [cell for cell in cells if cell.strip()] for _, _, _, is_heading, _, _, cells, _, _ in lines if not is_heading
    ]
    counted = Counter(_without_figures(cells[0]) for cells in alone if len(cells) == 1)
    return {text for text, times in counted.items() if times >= FEWEST_PAGES and FURNITURE.search(text)}


def _without_figures(text: str) -> str:
    return re.sub(r"\d+", "#", text.strip().lower())
