"""Rows that tell several findings by a mark before each, in several columns alike: `(a) Lounge (b) Bedroom` beside
`(a) 16 sq m (b) 12 sq m`. Each finding has a line of its own."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipelines.register.homes import column_name
from pipelines.register.layout import at_or_blank
from pipelines.register.ordinary import Ordinary
from pipelines.register.reader import Reader

MARK = re.compile(r"(?:^|(?<=[\s.,;]))\(?([a-h]|[1-9])\)\s*(?=\S)", re.I)
ORDERS = ("abcdefgh", "123456789")
FEWEST_CELLS = 2
"""Cells of a row with the same marks: one alone numbers its own sentences."""


@dataclass(frozen=True)
class Numbered(Ordinary):
    """An ordinary table some of whose rows tell several findings by their marks."""

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """A line for each finding; what has no marks holds for all of them."""
        row = [at_or_blank(cells, at) for at, _ in self.columns]
        yield from findings(row) or [row]


def pieces(cell: str) -> tuple[str, list[str]]:
    """The marks of a cell, joined, and what stands behind each; nothing where it does not begin with the first mark and
    go on in their order."""
    found = list(MARK.finditer(cell))
    marks = "".join(one[1].lower() for one in found)
    if len(found) < 2 or cell[: found[0].start()].strip() or not any(order.startswith(marks) for order in ORDERS):
        return "", []
    ends = [*(one.start() for one in found[1:]), len(cell)]
    return marks, [cell[one.end() : end].strip() for one, end in zip(found, ends, strict=True)]


def findings(row: Sequence[str]) -> list[list[str]]:
    """The lines of a row that tells several findings, by the marks that most cells have; none if it tells one."""
    parted = [pieces(cell) for cell in row]
    counted = Counter(marks for marks, _ in parted if marks)
    marks, n_cells = max(counted.items(), key=lambda of: (of[1], of[0]), default=("", 0))
    if n_cells < FEWEST_CELLS:
        return []
    return [
        [said[nth] if own == marks else cell for cell, (own, said) in zip(row, parted, strict=True)]
        for nth in range(len(marks))
    ]


def find(
    labels: Sequence[Sequence[str]], first: int, last: int, below: Sequence[Sequence[str]], reader: Reader
) -> Numbered | None:
    """The ordinary table some of whose rows tell several findings."""
    if not any(findings(row) for row in below):
        return None
    return Numbered(first, last, [(at, column_name(texts, reader)) for at, texts in enumerate(labels)])
