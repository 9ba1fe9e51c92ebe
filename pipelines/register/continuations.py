"""Cells that go on with the row above: marks that repeat what stands there, and text that runs on below it."""

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from pipelines.register import layout
from pipelines.register.dates import is_date
from pipelines.register.home_lines import of_same
from pipelines.register.layout import RESULTS

RUNS_ON = ("product", "position", "notes", "recommendation", "room")
SHARED_PART = re.compile(r",?\s*\b(?:communal|common)\b.*$", re.I)
OF_SAME = re.compile(
    r"\b(of) (?:the )?same\b(?=\W*$|\s*[,;.(&+-]|\s+(?:on|in|at|to|under|below|beneath|over|above|behind|beside|by|near"
    r"|around|against|along|inside|outside|from|with|and|but|throughout)\b)",
    re.I,
)
"""Not `of same material`, which has a noun of its own."""


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
        return of_same(cell, SHARED_PART.sub("", above))
    return OF_SAME.sub(lambda said: f"{said[1]} {above}", cell) if above else cell


def runs_on(
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
