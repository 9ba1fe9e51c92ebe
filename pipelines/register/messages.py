"""Messages pasted into a sheet, one line for each thing that they tell: `19 Elm Row - kitchen - floor tiles - 8 sq m -
white asbestos (P7) - good`, below a line with the day on which they were sent."""

import re
from collections.abc import Iterator, Mapping, Sequence

from pipelines.register.grids import NONE_SEEN
from pipelines.register.layout import Numbered
from pipelines.register.listings import COLUMNS, FIELDS
from pipelines.register.noted import EXTENT
from pipelines.register.renamed import OF_BUILDING
from pipelines.register.shorthand import UNREACHED, VOCABULARIES
from pipelines.register.words import recognise_word

Terms = Mapping[str, Mapping[str, str]]
DASH = re.compile(r"\s+[-–—]\s+")
CLAUSE = re.compile(r",\s+|\.\s+(?=[A-Z])|\.\s*$")
HEAD = re.compile(
    r"^\W*(?:from|to|cc|sent|date|subject|re|fw|fwd|hi|hello|dear|thanks?|cheers|regards|kind regards)\b", re.I
)
"""How a line begins that is about a message, not of a home."""
DAY = re.compile(
    r"\b(\d{1,2}(?:st|nd|rd|th)? [A-Z][a-z]{2,8},? (?:19|20)\d\d|\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d))\b"
)
FROM = re.compile(r"^\W*(?:from|sent|date)\b", re.I)
HOME = re.compile(
    r"^(?:\d{1,4}[a-z]?,?\s+\S*[A-Za-z]{2}|(?:flat|flt|fl|apt|unit|no)\.? ?\d"
    r"|(?:(?-i:[A-Z])[\w'’.]*\s*){1,6}(?:(?:flat|fl|no)?\.? ?\d*)$)",
    re.I,
)
"""How a home or block is written: `19 Elm Row`, `Flat 2`, `Oak House flat 5`."""
BLOCK = re.compile(r"\s*\b(?:(?:at|in|of)\s+)?((?:[A-Z][\w'’]+ ){1,2}(?:\d+|[A-Z][\w'’]*))\s*")
IN_BRACKETS = re.compile(r"\s*\(\s*(?:sample |ref |lab )?([A-Z]{1,4}[-/. ]?\d{1,6}[a-z]?)\s*\)", re.I)
AGAIN = re.compile(r"\b(?:again|also|too|as well)\b\s*", re.I)
RESULTS = ("identification", "asbestos_types")
FEWEST_LINES, LEAST_PIECES, LEAST_TOLD = 3, 3, 0.6


def may_be(rows: Sequence[Numbered]) -> bool:
    """Whether rows have one cell each, several of which are pieces with dashes between."""
    alone = [filled for _, cells in rows if (filled := [cell for cell in cells if cell.strip()])]
    dashed = sum(1 for cells in alone if len(DASH.split(cells[0])) >= LEAST_PIECES)
    return dashed >= FEWEST_LINES and all(len(cells) == 1 for cells in alone)


def read(rows: Sequence[Numbered], terms: Terms, longest: int) -> list[tuple[tuple[int, int], list[str]]]:
    """The lines of such a sheet as those of a listing are: each with its number and the row of the file, the heading
    before the first. There are none where most lines do not name a room and a material, or more than `longest`."""
    if rows[-1][0] > longest:
        return []
    lines = [(number, next((cell.strip() for cell in cells if cell.strip()), "")) for number, cells in rows]
    said = {number: one for number, text in lines if (one := _line(text, terms))}
    told = [one for one in said.values() if one["product"] and one["identification"]]
    if len(told) < FEWEST_LINES or len(told) < LEAST_TOLD * len(said):
        return []
    return list(_numbered(lines, said))


def _numbered(
    lines: Sequence[tuple[int, str]], said: Mapping[int, Mapping[str, str]]
) -> Iterator[tuple[tuple[int, int], list[str]]]:
    """The lines by their numbers; a day holds for what stands below it, until another message begins."""
    day, first = "", min(said)
    for number, text in lines:
        further = int(number > first)
        if one := said.get(number):
            if number == first:
                yield (number, number), list(COLUMNS)
                further = 1
            yield (number + further, number), [one["home"], day, *(one[name] for name in FIELDS)]
            continue
        found = DAY.search(text)
        day = found[1] if found else "" if FROM.match(text) else day
        yield (number + further, number), [text] if text else []


def _line(text: str, terms: Terms) -> dict[str, str] | None:
    """What a line tells of a home: the home, then a piece for each thing."""
    if not text or HEAD.match(text):
        return None
    home, *pieces = DASH.split(text)
    if not pieces or not HOME.match(home):
        first, *pieces = [piece for piece in CLAUSE.split(text) if piece]
        named = next((one for one in BLOCK.finditer(first) if OF_BUILDING.search(one[1])), None)
        if named is None or not pieces:
            return None
        home = named[1]
        pieces = [AGAIN.sub("", f"{first[: named.start()]} {first[named.end() :]}").strip(), *pieces]
    said = _said(pieces, terms)
    is_told = said["product"] or said["identification"]
    return said | {"home": home.strip()} if is_told else None


def _said(pieces: Sequence[str], terms: Terms) -> dict[str, str]:
    """What the pieces behind a home tell by field."""
    found: dict[str, list[str]] = {name: [] for name in FIELDS}
    for written in pieces:
        sample = IN_BRACKETS.search(written)
        if sample:
            found["sample_ref"].append(sample[1])
        piece = IN_BRACKETS.sub("", written).strip(" .")
        for name in _fields(piece, found, terms) if piece else ():
            found[name].append(piece)
    said = {name: (", " if name == "product" else "; ").join(held) for name, held in found.items()}
    term = recognise_word("identification", said["identification"], terms.get("identification", {}))[0]
    if not said["product"] and term == "not_suspect":
        said["identification"] = NONE_SEEN
    return said if said["product"] or term in (*UNREACHED, "not_suspect") else said | {"identification": ""}


def _fields(piece: str, found: Mapping[str, Sequence[str]], terms: Terms) -> Sequence[str]:
    """The fields that a piece is of: the room first, then what is there, how much, what it was found to be, and how."""
    if not found["room"] and not found["product"] and _is("room", piece, terms):
        return ("room",)
    if not found["extent"] and (extent := EXTENT.search(piece)) and len(piece) - len(extent[0]) <= len(" in all told"):
        return ("extent",)
    if not found["identification"] and any(_is(name, piece, terms) for name in RESULTS):
        return ("identification",)
    state = [name for name in ("damage", "surface") if _is(name, piece, terms)]
    if state and (found["product"] or found["identification"]):
        return state
    if not found["identification"] and _is("product", piece, terms):
        return ("product",)
    return ("notes",) if found["product"] else ("product",)


def _is(name: str, piece: str, terms: Terms) -> bool:
    vocabulary = VOCABULARIES[name]
    return recognise_word(vocabulary, piece, terms.get(vocabulary, {}))[0] is not None
