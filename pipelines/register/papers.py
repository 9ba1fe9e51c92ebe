"""Papers of several firms on one sheet, one below the other, with lines of letters between: where another begins, and
what its letter tells of the home and the visit."""

import re
from collections.abc import Container, Sequence
from itertools import takewhile

from pipelines.register.dates import is_date
from pipelines.register.words import plain

SECTION = re.compile(r"^\d{1,2}[.)]\s+(?=[A-Z])")
"""A number of a part of the sheet before a title: `3. Rudge & Daughter`."""
LETTER = re.compile(
    r"^(?:dear|hi|hello) [a-z]|^to the [^.]{3,40}\.\s|^(?:further to|please find|(?:i|we) (?:en|at)tach)\b", re.I
)
"""How a letter begins."""
FIRM = re.compile(
    r"\b(?:ltd|limited|llp|plc|surveyors|consultan(?:cy|ts?)|analytical|environmental|associates|laboratories|services)\b"
    r"|&\s*(?:sons?|daughters?|co|partners?)\b",
    re.I,
)
VISITED_WITHIN = re.compile(
    r"(?<!not )(?<!last )(?<!previously )(?<!first )\b(?:attended|visited|surveyed|inspected"
    r"|went (?:round|through|in|to)|(?:came|called|looked) (?:round|in|out|at)|site visit"
    r"|(?:was|were) (?:there|on site))\b[^.;\d]{0,60}?"
    r"(\d{1,2}(?:st|nd|rd|th)? [A-Za-z]{3,9}\.?,? \d{4}|\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d))(?![\d/.-]*\d)",
    re.I,
)
"""The day of a visit within a letter: `he went round with the caretaker on 7 October 2015`."""
ADDRESS_FIRST = re.compile(r"^(?:flat|flt|apartment|apt|unit|no\.?)?\s*\d+[a-z]?\b", re.I)
"""A line of one home, whose day is not that of the others."""
MOST_WORDS = 5
"""Of the name of a street or block."""


def begins_paper(lines: Sequence[str], streets: Container[str]) -> bool:
    """Whether lines above a table begin another paper below the last: a letter, a numbered title that names a firm or
    stands beside a day, street or block of its own, a firm beside such, or a line that tells both day and block."""
    if any(map(opens_paper, lines)):
        return True
    bare = [line for line in lines if not ADDRESS_FIRST.match(SECTION.sub("", line))]
    days, blocks = [day_within(line) for line in bare], [streets_within(line, streets) for line in bare]
    is_titled = any(map(SECTION.match, lines)) or any(map(FIRM.search, bare))
    return (is_titled and any((*days, *blocks))) or any(map(all, zip(days, blocks, strict=True)))


def opens_paper(line: str) -> bool:
    """Whether a line by itself begins a paper: a letter, or the number and name of a firm."""
    return LETTER.match(line) is not None or (SECTION.match(line) is not None and FIRM.search(line) is not None)


def until_paper(rows: Sequence[tuple[int, Sequence[str]]], last: int) -> list[tuple[int, Sequence[str]]]:
    """The rows of a sheet up to the first line below row `last` that begins another paper, as what stands below that is
    not of the table above."""
    return list(takewhile(lambda row: row[0] <= last or not _is_opening(row[1]), rows))


def _is_opening(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell.strip()]
    return len(filled) == 1 and opens_paper(filled[0].strip())


def day_told(lines: Sequence[str]) -> dict[str, str]:
    """The one day on which the lines of a letter say that somebody came."""
    bare = [SECTION.sub("", line) for line in _of_paper(lines)]
    days = {day for line in bare if not ADDRESS_FIRST.match(line) and (day := day_within(line))}
    return {"surveyed_on": days.pop()} if len(days) == 1 else {}


def block_told(lines: Sequence[str], streets: Container[str]) -> dict[str, str]:
    """The one street or block of the stock list that the lines of a letter name: `what we found at Elm Court`."""
    named = set[str]().union(*(streets_within(line, streets) for line in _of_paper(lines)))
    return {"address": named.pop()} if len(named) == 1 else {}


def _of_paper(lines: Sequence[str]) -> list[str]:
    """Lines above a table, nearest first, up to the one that begins its paper."""
    opening = next((nth for nth, line in enumerate(lines) if opens_paper(line)), len(lines))
    return list(lines[: opening + 1])


def day_within(text: str) -> str | None:
    """The one day on which a sentence of a letter says that somebody came."""
    days = {day for day in VISITED_WITHIN.findall(text) if is_date(day)}
    return days.pop() if len(days) == 1 else None


def streets_within(text: str, streets: Container[str]) -> set[str]:
    """The streets and blocks of the stock list that stand among other words, the longest where one holds another."""
    words, found, at = plain(text).split(), set[str](), 0
    while at < len(words):
        spans = (" ".join(words[at : at + n]) for n in range(MOST_WORDS, 1, -1))
        street = next((span for span in spans if span in streets), None)
        found |= {street} if street else set()
        at += len(street.split()) if street else 1
    return found
