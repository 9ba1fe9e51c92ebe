"""Rows that say one thing of several homes: `Flats 1-3, 5 & 6`, `2, 6 & 10`. Each home has a line of its own."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from pipelines.register.layout import at_or_blank
from pipelines.register.ordinary import Ordinary
from pipelines.register.reader import NOT_NEEDED, Reader
from pipelines.register.visit_columns import YEAR
from pipelines.register.words import plain

NUMBER = r"\d{1,4}[a-z]?"
SEVERAL = re.compile(
    r"^(?:(?P<kind>flat|apartment|apt|unit|house|bungalow|number|no)(?P<plural>s)?\.?\s*)?"
    rf"(?P<numbers>{NUMBER}(?:\s*(?:,|&|\band\b|-|–|\bto\b)+\s*{NUMBER})+)$",
    re.I,
)
RANGE = re.compile(r"^(\d{1,4})\s*(?:-|–|\bto\b)\s*(\d{1,4})$", re.I)
BETWEEN = re.compile(r"\s*(?:,|&|\band\b)+\s*", re.I)
EACH = re.compile(r"\b(?:each|per (?:flat|home|house|unit))\b", re.I)
OF_HOMES = re.compile(r"\b(?:flats?|homes?|houses?|garages?|no|nos|number|unit)\b", re.I)
MOST = 60
"""Homes of a range: more are a mistake, or the numbers of a block."""


@dataclass(frozen=True)
class Homes(Ordinary):
    """A table some of whose rows name several homes: its columns, and which of them names homes and extents."""

    at: int
    extents: list[int]
    known: frozenset[str]
    """The addresses of the stock list, plain: a range that stands there is a block."""
    before: list[list[str]] = field(default_factory=list)
    """The homes of the row before, which hold for one that names none."""

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """A line for each home; what there is of it is known where that is said of each."""
        row = [at_or_blank(cells, at) for at, _ in self.columns]
        homes = several(row[self.at], self.known)
        if row[self.at] or not self.before:
            self.before[:] = [homes]
        homes = homes if row[self.at] else self.before[0]
        for home in homes or [row[self.at]]:
            told = {at: row[at] if EACH.search(row[at]) else "" for at in self.extents} if homes else {}
            yield [home if at == self.at else told.get(at, cell) for at, cell in enumerate(row)]


def several(text: str, known: frozenset[str] = frozenset()) -> list[str]:
    """The homes that a cell names one by one, none if it names one alone, or the range of a block."""
    found = SEVERAL.match(text.strip())
    if not found or any(plain(text) in address for address in known):
        return []
    kind = f"{found['kind']} " if found["kind"] else ""
    homes: list[str] = []
    for piece in BETWEEN.split(found["numbers"]):
        ends = RANGE.match(piece)
        if ends and not (found["plural"] and 0 < int(ends[2]) - int(ends[1]) < MOST):
            return []  # `12-14` is a house
        homes += [f"{kind}{n}" for n in range(int(ends[1]), int(ends[2]) + 1)] if ends else [f"{kind}{piece}"]
    return homes if len(homes) > 1 else []


def find(
    labels: Sequence[Sequence[str]], first: int, last: int, below: Sequence[Sequence[str]], reader: Reader
) -> Homes | None:
    """The ordinary table some of whose rows name several homes."""
    columns = [(at, column_name(texts, reader)) for at, texts in enumerate(labels)]
    fields = {at: reader.field_of(text) or NOT_NEEDED for at, text in columns if text}
    known = reader.contents.stock.get("address", frozenset())
    for at in range(len(columns)):
        named = [cell for row in below if (cell := at_or_blank(row, at))]
        is_of_homes = fields.get(at) in ("address", "property_ref") or (
            fields.get(at) == NOT_NEEDED and OF_HOMES.search(columns[at][1])
        )
        if is_of_homes and any(several(cell, known) for cell in named):
            extents = [column for column, name in fields.items() if name == "extent"]
            return Homes(first, last, columns, at, extents, known)
    return None


def column_name(texts: Sequence[str], reader: Reader) -> str:
    """The words that name a column: those with a year, else the first that are known."""
    return "" if not texts else texts[0] if YEAR.search(texts[0]) else reader.first_known(texts)
