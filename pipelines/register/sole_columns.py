"""What a column holds where the table has no other for it: rooms before items, what came of a visit."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipelines.register.layout import PROPERTY
from pipelines.register.meanings import Column, fields_in
from pipelines.register.reader import Reader
from pipelines.register.words import recognise_word

ROOM_BEFORE = re.compile(r"^([A-Za-z][^:;]{1,30}?)\s*:\s+\S")
"""`Kitchen: Artex ceiling`."""
LEAST_BEFORE = 0.6
LEAST_OUTCOMES = 0.8
SELDOM = 0.5
"""Share of rows in which a day stands that is given only where it is another."""
NOBODY_IN = "the list has no items, and what is noted is that nobody came in"
OF_MATERIALS = ("product", "position", "product_beside")
AMOUNT = re.compile(r"\b\d+(?:[.,]\d+)?\s*(?:m2|m²|sq\.? ?m|sqm|lin\.? ?m|lm|m|metres?|no|nr)\b", re.I)
"""How much of it there is, within a description."""
OF_ITEMS = ("room", "product", "identification", "asbestos_types", "sample_ref", "damage")


def with_rooms(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where none is of rooms but most cells of the materials begin with one: both are read from it."""
    if reader.kind != "registers" or "room" in fields_in(read) or any("room" in column.also for column in read):
        return read
    for at, (column, held) in enumerate(zip(read, values, strict=True)):
        rooms = [before[1] for value in held if (before := ROOM_BEFORE.match(value))]
        is_enough = len(rooms) >= max(reader.least_fields, LEAST_BEFORE * len(held))
        if column.field == "product" and is_enough and reader.contents.share("room", rooms) >= LEAST_OUTCOMES:
            why = f"{column.reason}; most of its cells begin with a room"
            return [*read[:at], replace(column, reason=why, also=(*column.also, "room")), *read[at + 1 :]]
    return read


def with_descriptions(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where none is of materials but the notes beside the rooms name one in most of their cells: it is
    read from them, and so is what no other column says of it, how much and in what state: `Insulating board boxing,
    1.5 sq m, painted, a few scratches`."""
    fields = fields_in(read) | {name for column in read for name in column.also}
    if reader.kind != "registers" or "room" not in fields or not fields.isdisjoint(OF_MATERIALS):
        return read
    for at, (column, held) in enumerate(zip(read, values, strict=True)):
        share = reader.contents.share
        is_enough = len(held) >= reader.least_fields and share("product", held) >= LEAST_BEFORE
        if column.field == "notes" and is_enough and share("notes", held) >= LEAST_BEFORE:
            why = f"{column.reason}; no other column is of materials, and most of its cells name one"
            said = [name for name in ("extent", "damage", "surface") if _is_said(name, held, reader)]
            also = (*said, "notes") if fields.isdisjoint(said) else ("notes",)
            return [*read[:at], replace(column, field="product", reason=why, also=also), *read[at + 1 :]]
    return read


def _is_said(name: str, held: Sequence[str], reader: Reader) -> bool:
    """Whether several descriptions say something of a field."""
    said = [
        value for value in held if (AMOUNT.search(value) if name == "extent" else reader.contents.share(name, [value]))
    ]
    return len(said) >= max(reader.least_fields, SELDOM / 2 * len(held))


def with_days_sent(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where the day of the visit stands in few rows (`Day, if not today`) and another that is not known
    holds a day in nearly every row: that is the day where the first is blank."""
    n_rows = max(map(len, values), default=0)
    days = [len(held) for column, held in zip(read, values, strict=True) if column.field == "surveyed_on"]
    if reader.kind != "registers" or len(days) != 1 or days[0] >= SELDOM * n_rows:
        return read
    why = "its contents are days, and those of the visit stand in few rows"
    return [
        replace(column, field="sent_on", confidence=LEAST_OUTCOMES, reason=why)
        if not (column.field or column.confidence)
        and len(held) >= LEAST_OUTCOMES * n_rows
        and reader.contents.share("surveyed_on", held) >= LEAST_OUTCOMES
        else column
        for column, held in zip(read, values, strict=True)
    ]


def by_homes_alone(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns of a list of homes and days without any item: where its remarks say that nobody came in, they are
    what came of the visits."""
    fields = fields_in(read)
    if (
        reader.kind != "registers"
        or fields & set(OF_ITEMS)
        or not fields & set(PROPERTY)
        or "surveyed_on" not in fields
    ):
        return read
    return [
        replace(column, field="visit_outcome", reason=NOBODY_IN)
        if column.field == "notes" and held and _share_unseen(held, reader.contents.terms) >= LEAST_OUTCOMES
        else column
        for column, held in zip(read, values, strict=True)
    ]


def _share_unseen(held: Sequence[str], terms: Mapping[str, Mapping[str, str]]) -> float:
    """The share of cells that say that nobody came in."""
    results = terms.get("identification", {})
    unseen = [value for value in held if recognise_word("identification", value, results)[0] == "no_access"]
    return len(unseen) / len(held)
