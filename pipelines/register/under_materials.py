"""Tables in the order of their materials: what a thing is made of stands in a line of one cell above the rows,
`LAGGING`, and in no column. Each row gets it in a column of its own."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pipelines.register.layout import LONGEST_LABEL, Source, at_or_blank
from pipelines.register.ordinary import Ordinary
from pipelines.register.reader import Reader
from pipelines.register.remarks import TOTALS
from pipelines.register.visit_columns import YEAR
from pipelines.register.words import recognise_word

FEWEST_GROUPS, LEAST_GROUPS = 2, 0.5
HEADING = "Material"
ASIDE = re.compile(r"\s*\([^)]*\)|\s+[-–—]\s.*$|[:.]+\s*$")
"""What a line says beside its material: `INSULATION BOARD (the bad one)`."""
BETWEEN = re.compile(r"\s*(?:[,;/&+]|\band\b)\s*", re.I)
SUNDRY = re.compile(
    r"\b(?:odd(?:s|ments)|sundr\w+|misc\w*|various|others?|anything else|bits and (?:bobs|pieces))\W*$", re.I
)
"""What names no one material."""
COUNTED = re.compile(r"^\W*\d+ (?:lines?|items?|rows?|entries|entry|records?|off|nos?\.?|in all|in total)\W*$", re.I)
BEFORE_THING = re.compile(r"\s+[-–—]\s+|\s*:\s+")
"""Between a room and what is there: `Flat roof - felt`."""


@dataclass(frozen=True)
class UnderMaterials(Ordinary):
    """A table with lines of materials between its rows: its columns, and which of them says where."""

    room: int
    terms: Mapping[str, Mapping[str, str]]
    now: list[str] = field(default_factory=list)
    """The material of the rows that come; of several each row says its own, or it may be any of them."""

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, the last of which no column of the file stands for."""
        return [*super().headings, (HEADING, ())]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell ends what a line above says, as all but the count of a group do."""
        return not COUNTED.match(only)

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """The one line of a row with its material. A line of a material is none itself, another ends it."""
        filled = [cell for cell in cells if cell.strip()]
        if len(filled) == 1:
            self.now[:] = _materials(filled[0], self.terms)
            yield [] if self.now else list(cells)
            return
        row = [at_or_blank(cells, at) for at, _ in self.columns]
        where, thing = _apart(row[self.room], self.terms)
        if len(self.now) == 1:
            # what is another material by the row itself is told beside that of the line
            is_other = thing and _term(thing, self.terms) != _term(self.now[0], self.terms)
            yield [*row, f"{self.now[0]}: {thing}" if is_other else self.now[0]]
            return
        row[self.room] = where
        yield [*row, thing or " or ".join(one for one in self.now if _term(one, self.terms))]


def find(
    labels: Sequence[Sequence[str]], first: int, last: int, below: Sequence[Sequence[str]], reader: Reader
) -> UnderMaterials | None:
    """The ordinary table without a column of materials, most lines of one cell in which name one."""
    columns = [
        (at, "" if not texts else texts[0] if YEAR.search(texts[0]) else reader.first_known(texts))
        for at, texts in enumerate(labels)
    ]
    fields = {at: reader.field_of(text) for at, text in columns if text}
    room = next((at for at, name in fields.items() if name == "room"), None)
    is_both = any("product" in reader.together(text) for _, text in columns)
    if room is None or is_both or "product" in fields.values():
        return None
    terms = reader.contents.terms
    alone = [filled[0] for row in below if len(filled := [cell.strip() for cell in row if cell.strip()]) == 1]
    others = [text for text in alone if not COUNTED.match(text) and not TOTALS.match(text)]
    groups = [text for text in others if _materials(text, terms)]
    if len(groups) < FEWEST_GROUPS or len(groups) < LEAST_GROUPS * len(others):
        return None
    return UnderMaterials(first, last, columns, room, terms)


def _materials(text: str, terms: Mapping[str, Mapping[str, str]]) -> list[str]:
    """The materials that a line names: itself, where all its words mean one; each of them, where it names several."""
    bare = ASIDE.sub("", text).strip()
    if len(bare) > LONGEST_LABEL or recognise_word("place", bare, terms.get("place", {}))[1] == "known":
        return []
    whole = _term(bare, terms)
    parts = [part for part in BETWEEN.split(bare) if part]
    met = {term for part in parts if (term := _term(part, terms))}
    if not whole and not met:
        return []
    is_sundry = len(parts) > 1 and SUNDRY.search(bare) is not None
    return [bare] if len(met) <= 1 and not is_sundry else parts


def _apart(where: str, terms: Mapping[str, Mapping[str, str]]) -> tuple[str, str]:
    """Where something is, and what it is, where a mark parts them and the material is known."""
    room, *rest = BEFORE_THING.split(where, maxsplit=1)
    thing = rest[0] if rest else ""
    return (room, thing) if thing and _term(thing, terms) else (where, "")


def _term(text: str, terms: Mapping[str, Mapping[str, str]]) -> str | None:
    return recognise_word("product", text, terms.get("product", {}))[0]
