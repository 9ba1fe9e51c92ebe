"""Grids: rooms down and materials across, or the other way about, or parts of a room across; the cells say what was
found."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import takewhile

from pipelines.register.contents import POSTCODE
from pipelines.register.dates import is_date
from pipelines.register.house_numbers import HOUSE_NUMBER, NUMBER_HEADING
from pipelines.register.layout import LONGEST_LABEL, VALUE, Source, at_or_blank
from pipelines.register.lines import WHOLE_HOME
from pipelines.register.reader import Reader
from pipelines.register.remarks import TOTALS
from pipelines.register.shorthand import UNREACHED, Shorthand
from pipelines.register.spellings import respelt
from pipelines.register.words import recognise_word

FEWEST_COLUMNS, LEAST_READ = 3, 0.5
HOUSE_NUMBER_HEADING = "House no"
NONE_SEEN = "none seen"
"""What a row says all of whose cells say that there is nothing."""
SEVERAL = re.compile(r"[/,&]")
"""Parts what a heading names several materials with; of those a cell says which."""
WITH_RESULT = {"extent", "room"}
"""What a cell says beside its result where no heading tells that it is one of a grid."""
OF_CELL = ("identification", "asbestos_types", "damage", "surface")
HEADINGS = {
    "product": "Material",
    "room": "Room",
    "position": "Position",
    "identification": "Result",
    "asbestos_types": "Asbestos type",
    "extent": "Extent",
    "sample_ref": "Sample",
    "damage": "Condition",
    "surface": "Surface treatment",
    "notes": "Remarks",
}
"""The headings of what a grid says of an item."""
ACROSS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "product": ("product", ("room", "property_ref", "uprn", "address")),
    "place": ("room", ("product", "property_ref", "uprn", "address")),
    "element": ("position", ("room",)),
}
"""What may stand across, by vocabulary: its field, and which fields may stand down the rows, the usual one first."""


@dataclass(frozen=True)
class Grid:
    """Rooms down and materials across, or the like: a cell is an item, if it says that there is one."""

    first: int
    last: int
    shared: list[Source]
    across: list[Source]
    name: str
    has_rooms: bool
    """Whether what stands across names the room as well, as no column does."""
    unseen: list[Source]
    """Columns of the rooms that nobody could enter."""
    remarks: int | None
    """Which of the shared columns has remarks, to which those of a cell are added."""
    shorthand: Shorthand
    is_grid = True
    is_numbered = False

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        return [
            *((text, ((at, text),)) for at, text in self.shared),
            (HEADINGS[self.name], (*self.across, *self.unseen)),
            *((HEADINGS[name], ()) for name in self.said),
        ]

    @property
    def said(self) -> list[str]:
        """The fields that cells may say."""
        among = [name for name in self.shorthand.among if name != "room"]
        rooms = ["room"] if self.has_rooms or len(among) < len(self.shorthand.among) else []
        notes = ["notes"] if self.remarks is None else []
        return [name for name in (*rooms, *among, "extent", "sample_ref", *notes) if name != self.name]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell is a room in which nothing was found, rather than a line between."""
        rooms = self.shorthand.terms.get("place", {})
        return recognise_word("place", only, rooms)[0] is not None or bool(respelt(only, rooms, {}))

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """A line for each item of each cell that says that there is something, or one of a row in which none does."""
        shared = [at_or_blank(cells, at) for at, _ in self.shared]
        here = [
            (text, cell) for at, text in self.across if not self.shorthand.is_nothing(cell := at_or_blank(cells, at))
        ]
        found = [(text, said) for text, cell in here for said in self.shorthand.items(cell)]
        filled = sum(1 for at, _ in self.across if at_or_blank(cells, at))
        if len(found) == 1 and filled == 1 and self.shorthand.is_no_access(found[0][1]):
            found = [("", found[0][1])]  # written over the whole row
        elif 1 < len(found) == filled and all(self.shorthand.is_no_access(said) for _, said in found):
            found = [(WHOLE_HOME if self.has_rooms else "", found[0][1])]
        if not found and filled:
            found = [("", {"identification": NONE_SEEN})]
        elif not found and self.shorthand.is_no_access({"identification": self._remark(shared)}):
            found = [(WHOLE_HOME, {"identification": self._remark(shared)})]
        left: list[tuple[str, dict[str, str]]] = (
            [] if any(at_or_blank(cells, at) for at, _ in self.unseen) else [("", {})]
        )
        for text, said in found or left:
            said = {"room": text} | said if self.has_rooms else said
            named = "" if self.has_rooms and text == WHOLE_HOME else self._named(text, said)
            remarks = "; ".join(said[name] for name in ("notes", "remark") if said.get(name, named) not in named)
            said = said | {"notes": remarks}
            yield [*self._with_remarks(shared, remarks), named, *(said.get(name, "") for name in self.said)]
        for at, text in self.unseen:
            if not self.shorthand.is_nothing(rooms := at_or_blank(cells, at)):
                unseen = {"room": rooms, "identification": text}
                yield [*shared, "", *(unseen.get(name, "") for name in self.said)]

    def _remark(self, shared: Sequence[str]) -> str:
        return "" if self.remarks is None else shared[self.remarks]

    def _with_remarks(self, shared: Sequence[str], own: str) -> list[str]:
        """What all items of a row share, with what a cell remarks beside what the row does."""
        if self.remarks is None or not own:
            return list(shared)
        before = "" if self.shorthand.is_nothing(shared[self.remarks]) else f"{shared[self.remarks]}; "
        return [*shared[: self.remarks], before + own, *shared[self.remarks + 1 :]]

    def _named(self, text: str, said: Mapping[str, str]) -> str:
        """What stands across, of materials with what the cell says of it, as `Other: flash guard`."""
        if self.name == "room" and SEVERAL.search(text) and "room" in said:
            return said["room"]
        if self.name != "product":
            return text
        if "product" in said and SEVERAL.search(text):
            return said["product"]
        return ": ".join([text, *(said[name] for name in ("product", "notes") if name in said)])


def find(
    labels: Sequence[Sequence[str]],
    first: int,
    last: int,
    below: Sequence[Sequence[str]],
    reader: Reader,
    shorthand: Shorthand,
) -> Grid | None:
    """The grid whose heading names materials, rooms or parts of a room across, over cells in shorthand."""
    if any(_is_cell(texts[-1], shorthand) for texts in labels if texts):
        return None  # a row of cells
    for vocabulary, (name, down) in ACROSS.items():
        terms = {at: term for at, texts in enumerate(labels) if texts and (term := _term(vocabulary, texts, reader))}
        if len(terms) < FEWEST_COLUMNS or len(set(terms.values())) < 2:
            continue
        fields = {reader.field_of(text) for texts in labels for text in texts}
        is_homes = name == "product" and "room" not in fields
        # of several rooms a cell says which
        says_room = is_homes or (name == "room" and any(SEVERAL.search(labels[at][0]) for at in terms))
        among = OF_CELL if name == "room" and "product" in fields else (*OF_CELL, "product")
        own = replace(shorthand, among=(*among, "room") if says_room else among)
        start, end = min(terms), max(terms)
        across = [at for at in range(start, end + 1) if labels[at] and (at in terms or not _field(labels[at], reader))]
        for beside in (range(start - 1, -1, -1), range(end + 1, len(labels))):
            across += takewhile(partial(_is_more, labels, own, below), beside)
        rest = [at for at in range(len(labels)) if at not in across and (labels[at] or at < start)]
        unseen = [(at, labels[at][-1]) for at in rest if at > end and is_homes and _is_unseen(labels[at], reader)]
        shared = _shared(labels, [at for at in rest if at not in dict(unseen)], start, down, below, reader)
        if shared is None:
            continue
        says_product = name != "position" or any("product" in one for one in _said(own, below, across))
        if says_product and 2 * len(terms) >= len(across) and _is_shorthand(own, below, across):
            columns = [(at, labels[at][0]) for at in sorted(across)]
            rooms = reader.contents.terms.get("place", {})
            has_rooms = name == "product" and not any(reader.field_of(text) == "room" for _, text in shared)
            is_named = any(recognise_word("place", text, rooms)[0] for _, text in columns)
            remarks = next((nth for nth, (_, text) in enumerate(shared) if reader.field_of(text) == "notes"), None)
            return Grid(first, last, shared, columns, name, has_rooms and is_named, unseen, remarks, own)
    return None


def _is_cell(text: str, shorthand: Shorthand) -> bool:
    """Whether a text is no heading: a dash, a day, a postcode, figures, or long enough to say something of an item."""
    is_nothing = shorthand.is_nothing(text) and text.strip(". ").lower() != "no"
    is_value = VALUE.match(text) or POSTCODE.match(text) or is_date(text)
    return is_nothing or bool(is_value) or len(text) > LONGEST_LABEL


def _shared(
    labels: Sequence[Sequence[str]],
    rest: Sequence[int],
    start: int,
    down: Sequence[str],
    below: Sequence[Sequence[str]],
    reader: Reader,
) -> list[Source] | None:
    """The columns beside a grid by their headings, if one has what stands down the rows; that may have no heading."""
    shared = [(at, reader.first_known(labels[at])) for at in rest]
    if any(reader.field_of(text) in down for _, text in shared):
        return shared
    left = [at for at in rest if at < start]
    corner = _corner(down[0], left, below, reader)
    name = HEADINGS[down[0]]
    if corner is None and "address" in down:
        corner, name = _numbers_of_homes(labels, left, below), HOUSE_NUMBER_HEADING
    return None if corner is None else [(at, name if at == corner else text) for at, text in shared]


def _numbers_of_homes(
    labels: Sequence[Sequence[str]], left: Iterable[int], below: Sequence[Sequence[str]]
) -> int | None:
    """The column left of a grid that numbers its rows, where nothing else says what they are of: homes."""
    for at in left:
        values = [cell for row in below if (cell := at_or_blank(row, at)) and not TOTALS.match(cell)]
        is_headed = labels[at] and NUMBER_HEADING.match(labels[at][-1])
        is_of_homes = len(set(values)) == len(values) >= FEWEST_COLUMNS and all(map(HOUSE_NUMBER.match, values))
        if is_headed and is_of_homes:
            return at
    return None


def _is_more(labels: Sequence[Sequence[str]], shorthand: Shorthand, below: Sequence[Sequence[str]], at: int) -> bool:
    """Whether a column beside a grid belongs to it, whatever its heading: its cells say results and extents."""
    return bool(labels[at]) and _is_shorthand(shorthand, below, [at], strictly=True)


def _said(shorthand: Shorthand, below: Sequence[Sequence[str]], across: Iterable[int]) -> list[dict[str, str]]:
    """What the cells of some columns say that say something."""
    cells = [cell for row in below for at in across if not shorthand.is_nothing(cell := at_or_blank(row, at))]
    return [shorthand.read(cell) for cell in cells]


def _is_shorthand(
    shorthand: Shorthand, below: Sequence[Sequence[str]], across: Iterable[int], strictly: bool = False
) -> bool:
    """Whether most cells of some columns are shorthand; strictly, if they say a result and more."""
    said = _said(shorthand, below, across)
    n_read = sum(
        1
        for one in said
        if (not strictly or ("identification" in one and one.keys() & WITH_RESULT))
        and (not one or one.keys() - {"notes"})
    )
    return bool(said) and n_read >= LEAST_READ * len(said)


def _term(vocabulary: str, texts: Sequence[str], reader: Reader) -> str | None:
    """The term that a heading is, if it is no field's name."""
    if _field(texts, reader):
        return None
    known = reader.contents.terms.get(vocabulary, {})
    term = recognise_word(vocabulary, texts[0], known)[0] or recognise_word(vocabulary, texts[-1], known)[0]
    return None if term in ("none", "not_asbestos") else term


def _is_unseen(texts: Sequence[str], reader: Reader) -> bool:
    """Whether a heading says that its column names rooms that nobody could enter."""
    known = reader.contents.terms.get("identification", {})
    return _field(texts, reader) is None and any(
        recognise_word("identification", text, known)[0] in UNREACHED for text in texts
    )


def _field(texts: Sequence[str], reader: Reader) -> str | None:
    return next((name for text in texts if (name := reader.field_of(text))), None)


def _corner(name: str, left: Iterable[int], below: Sequence[Sequence[str]], reader: Reader) -> int | None:
    """The column left of a grid whose cells are the rooms, or materials, that no heading names."""
    for at in left:
        values = [cell for row in below if (cell := at_or_blank(row, at)) and not TOTALS.match(cell)]
        if reader.contents.share(name, values) >= LEAST_READ:
            return at
    return None
