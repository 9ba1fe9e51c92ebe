"""Plain text without columns: each home a heading with address and day, below it indented findings, one a line or
wrapped over several, and what the laboratory found in the samples at the home's end.

    14 Elm Road                                      seen 3rd March 2019
        Kitchen - floor tiles, 9 m2, marked [1]
        Loft - hatch painted shut, could not get in
           Lab:  [1] white
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from pipelines.register import noted
from pipelines.register.dates import is_date
from pipelines.register.grids import HEADINGS
from pipelines.register.home_lines import ADDRESS_BEGINS, UNIT_FIRST, UNIT_OF_SAME
from pipelines.register.labels import CONTINUED
from pipelines.register.layout import Numbered, Source
from pipelines.register.noted import Notes
from pipelines.register.reader import Reader
from pipelines.register.words import recognise_word

FIELDS = ("room", "product", "identification", "extent", "damage", "surface", "sample_ref", "notes")
COLUMNS = ["Address", "Date", *(HEADINGS[name] for name in FIELDS)]
"""The headings of the lines."""
SOURCES: Sequence[Sequence[Source]] = [((0, text),) if text == HEADINGS["product"] else () for text in COLUMNS]
"""The columns of the file behind them: the only one, which has no heading."""
GAP = re.compile(r"\s{3,}|\t+")
DAY_SAID = re.compile(r"^(?:seen|visited|inspected|surveyed|looked at|on|date)\b[:\s]*", re.I)
SAME_DAY = re.compile(r"^(?:the )?same (?:day|date)\.?$|^(?:do\.?|ditto)$", re.I)
FINDING = re.compile(r"^(.{2,60}?)\s+[-–—]\s+(\S.*)$|^([^:\[]{2,40}):\s+(\S.*)$")
LABORATORY = re.compile(r"^(?:lab(?:oratory)?|results?|analys[ei]s|samples?)\b[^\[:]{0,30}:\s*(?=\S)", re.I)
IN_BRACKETS = re.compile(r"\s*\(([^()]+)\)$")
RULE = re.compile(r"^[\W_]{3,}(?:page \d+)?\W*$", re.I)
FEWEST_HOMES, FEWEST_FINDINGS, LEAST_WITH_ROOM = 2, 3, 0.6


@dataclass
class Finding:
    """What stands of one room: the row it begins in, its room and words, joined where they are wrapped."""

    row: int
    room: str
    text: str


@dataclass
class Home:
    """A home by its heading, its findings, and what was found in its samples."""

    address: str
    day: str
    indent: int = 0
    findings: list[Finding] = field(default_factory=list)
    results: dict[int, str] = field(default_factory=dict)
    """What was found in samples, by row."""


@dataclass
class Listing:
    """The homes of a listing, what stands before them, and which rows say nothing of any of them."""

    prologue: list[str] = field(default_factory=list)
    homes: list[Home] = field(default_factory=list)
    first: int = 0
    """The row of the first home."""
    aside: dict[int, str] = field(default_factory=dict)
    is_in_results: bool = False


def may_be(rows: Sequence[Numbered]) -> bool:
    """Whether rows are of one cell each, some of them indented."""
    cells = [row for _, row in rows]
    return all(len(row) == 1 for row in cells) and any(row[0][:1].isspace() for row in cells)


def read(rows: Sequence[Numbered], reader: Reader, longest: int) -> list[tuple[tuple[int, int], list[str]]]:
    """The lines of a listing: each with its number and the row of the file that it stands in; the heading first, blank
    lines for what it says above and between. There are none where rows are no listing, or more than `longest`."""
    if rows[-1][0] > longest:
        return []
    lines = [(number, cells[0].rstrip()) for number, cells in rows]
    listing = _homes(lines, reader)
    found = [one for home in listing.homes for one in home.findings]
    with_room = [one for one in found if noted.is_room(one.room, reader.contents.terms)]
    if len(listing.homes) < FEWEST_HOMES or len(found) < FEWEST_FINDINGS:
        return []
    if len(with_room) < LEAST_WITH_ROOM * len(found):
        return []
    notes = Notes(reader.contents.terms, noted.key_of(listing.prologue, reader.contents.terms))
    said = dict(_said(listing, notes))
    told: list[tuple[tuple[int, int], list[str]]] = []
    further = 0
    for number, _ in lines:
        aside = [listing.aside[number]] if number in listing.aside else []
        here = said.get(number, [aside])
        for nth, cells in enumerate([COLUMNS, *here] if number == listing.first else here):
            further += nth > 0
            told.append(((number + further, number), cells))
    return told


def _said(listing: Listing, notes: Notes) -> Iterator[tuple[int, list[list[str]]]]:
    """The lines of each finding by the row in which it begins."""
    items = [
        (home, one, list(notes.items(one.room, one.text, noted.results_of(" ".join(home.results.values())))))
        for home in listing.homes
        for one in home.findings
    ]
    materials: dict[str, str] = {}
    for *_, several in items:
        for said in several:
            name, product = said["sample_ref"], said["product"]
            materials[name] = product if materials.get(name, product) == product else ""
    for home in listing.homes:
        own = {said["sample_ref"] for of, _, several in items if of is home for said in several}
        listing.aside |= {row: text for row, text in home.results.items() if not noted.results_of(text).keys() <= own}
    for home, one, several in items:
        yield (
            one.row,
            [
                [home.address, home.day, *(notes.with_material(said, materials)[name] for name in FIELDS)]
                for said in several
            ],
        )


def _homes(lines: Sequence[tuple[int, str]], reader: Reader) -> Listing:
    """The homes of a text, with the findings below them."""
    listing = Listing()
    repeated = {text for text, times in Counter(text.strip() for _, text in lines).items() if times > 1}
    home: Home | None = None
    for nth, (number, text) in enumerate(lines):
        following = lines[nth + 1] if nth + 1 < len(lines) else (0, "")
        if heading := _heading(number, text, following, listing.homes[-1:], reader):
            is_new = not listing.homes or heading is not listing.homes[-1]
            home = heading
            listing.first = listing.first or number
            listing.homes += [home] if is_new else []
        elif not listing.homes:
            listing.prologue.append(text)
        elif RULE.match(text.strip()) or (text.strip() in repeated and not text[:1].isspace()):
            continue
        elif home is None or not text[:1].isspace():
            home = None
            listing.aside[number] = text.strip()
        else:
            _below(listing, home, number, text)
    return listing


def _heading(number: int, text: str, following: tuple[int, str], before: Sequence[Home], reader: Reader) -> Home | None:
    """The home that a line names: it is not indented, the one right below is, and it begins as addresses do, is in the
    stock list, or ends with a day."""
    if text[:1].isspace() or following[0] != number + 1 or not following[1][:1].isspace():
        return None
    address, day = _apart(text)
    is_continued = CONTINUED.search(address) is not None
    address = _bare(CONTINUED.sub("", address), reader)
    known = reader.contents.stock.get("address", frozenset())
    if not (day or is_continued or ADDRESS_BEGINS.match(address) or address.lower() in known):
        return None
    if before and (unit := UNIT_OF_SAME.match(address)):
        address = f"{unit[1]} {UNIT_FIRST.sub('', before[0].address)}"
    if before and is_continued and before[0].address.startswith(address) and day in ("", before[0].day):
        return before[0]
    return Home(address, day if not SAME_DAY.match(day) else before[0].day if before else "")


def _bare(address: str, reader: Reader) -> str:
    """An address without the kind of home in brackets behind it."""
    kind = IN_BRACKETS.search(address)
    kinds = reader.contents.terms.get("dwelling_type", {})
    return address[: kind.start()] if kind and recognise_word("dwelling_type", kind[1], kinds)[0] else address


def _apart(text: str) -> tuple[str, str]:
    """Address and day of a heading, by a wide gap or the last comma."""
    for address, day in (
        (GAP.split(text, maxsplit=1), text.rpartition(",")[::2]) if GAP.search(text) else [text.rpartition(",")[::2]]
    ):
        bare = DAY_SAID.sub("", day.strip())
        if address.strip() and (is_date(bare) or SAME_DAY.match(bare)):
            return address.strip(" ,"), bare
    return text.strip(), ""


def _below(listing: Listing, home: Home, number: int, text: str) -> None:
    """Take what an indented line says of a home: results, a finding, the rest of the one above, or a remark."""
    bare = text.strip()
    indent = len(text) - len(text.lstrip())
    if results := LABORATORY.match(bare):
        home.results[number] = bare[results.end() :]
        listing.is_in_results = True
        return
    if listing.is_in_results and home.results and bare.startswith("["):
        home.results[number] = bare
        return
    listing.is_in_results = False
    home.indent = home.indent or indent
    if bare.startswith("("):
        listing.aside[number] = bare
    elif indent > home.indent and home.findings:
        home.findings[-1].text += f" {bare}"
    elif said := FINDING.match(bare):
        home.findings.append(Finding(number, said[1] or said[3], said[2] or said[4]))
    elif home.findings and bare[0].islower():
        home.findings[-1].text += f" {bare}"
    elif home.findings:
        listing.aside[number] = bare
    else:
        home.findings.append(Finding(number, "", bare))
