"""Columns of numbers that count the homes of a street or block, and not the rows of the table."""

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain, groupby, pairwise

from pipelines.register import layout
from pipelines.register.meanings import Column, fields_in
from pipelines.register.reader import Reader
from pipelines.register.words import plain

NUMBER_HEADING = re.compile(r"^(?:no|nr|number|#)\.?$", re.I)
ALL, MOST = 1.0, 0.9
UNIT_HEADING = re.compile(r"^(?:unit|plot|flat|house|bungalow)s?(?: ?(?:no|nr|number))?\.?$", re.I)
"""What may number homes, or be something else altogether."""
WORDS = re.compile(r"^[a-z]{3,} ", re.I)
TOTAL = re.compile(r"^\W*(?:(?:sub|grand)\W*)?totals?\b", re.I)
HOUSE_NUMBER = re.compile(
    r"^(?:(?:fl|flat|apt|apartment|unit|no)\.?\s*)?\d{1,4}[a-z]?(?:\.0)?(?:\s*(?:,|&|and|-|to)\s*\d{1,4}[a-z]?)*$"
    r"|^(?:comm|communal|common|shared|landlord'?s?|ll)(?: (?:areas?|parts?))?\.?$",
    re.I,
)
HOMES_MOST = 0.9
"""Of the rows, where a column of numbers names homes that have several."""
HOME_ON_LINE = re.compile(r"^\s*(?:(?:flat|apt|no)\.?\s*)?\d{1,4}[a-z]?,?\s+(.*)", re.I)
STREET_ENDS = re.compile(r",|\s\d|\s[-–—(]")


def with_house_numbers(read: list[Column], below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """A first column of numbers that go on below themselves, or one beside streets, counts homes and not rows, where no
    other column names them."""
    first = next((at for at, column in enumerate(read) if column.heading), None)
    beside = (at for at, (one, following) in enumerate(pairwise(read)) if _is_number_of(one, following))
    behind = (at for at, (before, one) in enumerate(pairwise(read), start=1) if _is_number_behind(before, one))
    at = next(chain(beside, behind), first)
    named = [nth for nth, column in enumerate(read) if column.field in layout.PROPERTY and column.field != "postcode"]
    if at is None or reader.kind != "registers" or "room" not in fields_in(read):
        return read
    rows = _numbered(read, below, at)
    own = [value for value in layout.values_at(rows, at) if not (TOTAL.match(value) or layout.is_ditto(value))]
    n_homes = sum(1 for value in own if HOUSE_NUMBER.match(value))
    of_homes = len(own) >= reader.least_fields and n_homes >= (ALL if at == first else MOST) * len(own)
    is_unit = UNIT_HEADING.match(read[at].heading) is not None and read[at].field in (None, "extent_unit")
    if not (is_unit or NUMBER_HEADING.match(read[at].heading)) or not of_homes:
        return read
    if _has_homes(below, reader):
        return read
    has_streets = _has_streets(below, reader)
    if not all(
        _are_streets([cells for cells in rows if layout.at_or_blank(cells, at).strip()], nth)
        if read[nth].field == "address"
        else has_streets and at != first
        for nth in named
    ):
        return read
    numbers = [int(value.removesuffix(".0")) for value in own if value.removesuffix(".0").isdigit()]
    is_running = numbers == list(range(numbers[0], numbers[0] + len(own))) if numbers else False
    is_running |= not has_streets and len(numbers) == len(own) and _begins_again(numbers)
    is_of_each = len(own) > HOMES_MOST * len(rows) and not has_streets and not _go_on(numbers)
    if is_running or (not named and not is_unit and is_of_each):
        return read
    column = replace(read[at], field="address", confidence=0.75, reason="numbers of homes, as rows go on below them")
    return [*read[:at], column, *read[at + 1 :]]


def with_unit_numbers(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where `Unit No` holds numbers of homes and what they share, none of them a reference of the stock
    list: it is then the number of a home of the street or block."""
    share = reader.contents.share
    why = "numbers of homes, none of which is a reference of the stock list"

    def is_number(column: Column, held: Sequence[str]) -> bool:
        n_homes = sum(1 for value in held if HOUSE_NUMBER.match(value))
        is_unit = column.field == "property_ref" and UNIT_HEADING.match(column.heading) is not None
        return is_unit and bool(held) and n_homes >= MOST * len(held) and not share("property_ref", held)

    if reader.kind != "registers" or not reader.contents.stock.get("property_ref"):
        return read
    return [
        replace(column, field="address", confidence=0.75, reason=why, others=()) if is_number(column, held) else column
        for column, held in zip(read, values, strict=True)
    ]


def _numbered(read: Sequence[Column], below: Sequence[Sequence[str]], at: int) -> list[Sequence[str]]:
    """The rows of more than a cell, without those at the foot that have no room and say words where numbers of homes
    may stand, as of a count: `Done 5`."""
    room = next(nth for nth, column in enumerate(read) if column.field == "room")
    rows = [cells for cells in below if sum(1 for cell in cells if cell.strip()) > 1]
    while rows and not layout.at_or_blank(rows[-1], room) and WORDS.match(layout.at_or_blank(rows[-1], at)):
        rows.pop()
    return rows


def _go_on(numbers: Sequence[int]) -> bool:
    """Whether numbers stand again right below themselves, nowhere else, and do not count: `15`, `15`, `17`, `21`."""
    runs = [number for number, _ in groupby(numbers)]
    return len(set(runs)) == len(runs) < len(numbers) and runs != list(range(runs[0], runs[0] + len(runs)))


def _begins_again(numbers: Sequence[int]) -> bool:
    """Whether numbers run on one by one, and then from one again, be it that a part began on the page before: those of
    the rows of each part."""
    return (
        1 in numbers
        and all(after in (before + 1, 1) for before, after in pairwise(numbers))
        and (not any(before == after for before, after in pairwise(numbers)))
    )


def _has_homes(below: Sequence[Sequence[str]], reader: Reader) -> bool:
    """Whether lines between the rows name homes by number and street of the stock list, so that no column need."""
    alone = [filled[0] for cells in below if len(filled := [cell for cell in cells if cell.strip()]) == 1]
    streets = reader.contents.stock.get("street", ())
    said = [plain(match[1]) for text in alone if (match := HOME_ON_LINE.match(text))]
    return any(text.startswith(f"{street} ") or text == street for text in said for street in streets)


def _has_streets(below: Sequence[Sequence[str]], reader: Reader) -> bool:
    """Whether lines between the rows name streets of the stock list."""
    alone = [filled[0] for cells in below if len(filled := [cell for cell in cells if cell.strip()]) == 1]
    streets = reader.contents.stock.get("street", ())
    return any(plain(STREET_ENDS.split(text)[0]) in streets for text in alone)


def _is_number_of(one: Column, following: Column) -> bool:
    return following.field == "address" and one.field is None and NUMBER_HEADING.match(one.heading) is not None


def _is_number_behind(before: Column, one: Column) -> bool:
    return (
        before.field in ("property_ref", "address")
        and one.field is None
        and NUMBER_HEADING.match(one.heading) is not None
    )


def _are_streets(rows: Sequence[Sequence[str]], at: int) -> bool:
    """Whether the addresses of a column lack their numbers."""
    return not any(re.search(r"\d", layout.at_or_blank(cells, at)) for cells in rows)
