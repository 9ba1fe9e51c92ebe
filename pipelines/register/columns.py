"""The columns of a table together: which of several means a field, which number rows or homes, what adds up."""

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby, takewhile

from pipelines.register import layout, score_columns
from pipelines.register.contents import APART, MOSTLY
from pipelines.register.contents_columns import BY_CONTENTS_ALONE, by_contents
from pipelines.register.house_numbers import with_house_numbers, with_unit_numbers
from pipelines.register.meanings import (
    BY_LAST,
    EARLIER_VISIT,
    ELSE,
    MEASURED,
    Column,
    by_words,
    fields_in,
)
from pipelines.register.reader import Reader
from pipelines.register.sole_columns import by_homes_alone, with_days_sent, with_descriptions, with_rooms
from pipelines.register.sums_apart import by_sums_apart
from pipelines.register.visit_columns import of_visits, without_visits
from pipelines.register.words import plain

BEFORE = (
    "damage_before",
    "surface_before",
    "surveyed_before",
    "identification_before",
    "material_before",
    "extent_before",
)
OF_EARLIER_ONLY = BEFORE[3:]
"""What a second column is only if its heading says so, as results and scores of one visit may stand in several."""
# What may stand in several columns.
SEVERAL = ("address", "notes", "reinspection", *BEFORE)
UNUSED = 0.1
LETTERED = re.compile(r"\b([A-Za-z]{1,3})[-/ ]?0*(\d{1,4})\b")
OF_SAMPLES = {"S", "SA", "BS", "AS", "SN", "SMP", "ASB"}
NAMING_SAMPLES = ("sample_ref", "identification", "asbestos_types")
NUMBERED_WITHIN = re.compile(r"(\w{1,6})[./-](\d{1,3})")
SAMPLES_HEADING = re.compile(r"\b(?:samples?|smpl?|lab)\b", re.I)
REFERENCE_HEADING = re.compile(r"^(?:item |line |row )?(?:ref|no|nr|number|id|#)\.?$", re.I)
NUMBERED_STEP = re.compile(r"^\W*(\D*?[a-z])\W*\b(?:level |tier )?([1-9])\W*$", re.I)
UNIT_ALONE = re.compile(r"^(?:m2|m²|sq\.? ?m(?:etres?)?|sqm|lm|lin\.? ?m(?:etres?)?)\.?$", re.I)
COUNTED = re.compile(r"^(?:no|nos|nr|each|ea)\.?$", re.I)
"""Over how many there are, beside columns of other units: `m2 | lm | no`."""
STEPS_OF_PLACE = ("room", "position")
"""What headings of places numbered 1 and 2 hold."""
MOST = 0.9
LESS_SURE = 0.8


def read_columns(block: layout.Block, below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """How each column of a table reads, by its heading and by the rows below it.

    Where headings name several years, those of the last are of this visit and the others of earlier ones.
    """
    written = [next(iter(labels), "") for labels in block.labels]
    block, earlier = without_visits(block)
    letters = score_columns.letters_of_scores(block, reader)
    values = [
        [
            text
            for cells in below
            if at < len(cells) and (text := cells[at].strip()) and text.lower() not in layout.BLANKS
        ]
        for at in range(len(block.labels))
    ]
    read = [by_words(labels, held, reader) for labels, held in zip(block.labels, values, strict=True)]
    read = [_by_key(score_columns.by_letter(column, letters), reader) for column in read]
    read = _by_steps(read, reader)
    read = of_visits(read, earlier)
    read = by_fit(_with_numbers(_with_amounts(_without_ties(read), values, reader), values, reader), values, reader)
    taken = fields_in(read)
    if any(column.field and SAMPLES_HEADING.search(column.heading) for column in read):
        taken |= {"sample_ref"}  # also where results stand beside them
    read = [
        column if column.field or column.confidence else by_contents(column, held, reader, taken)
        for column, held in zip(read, values, strict=True)
    ]
    read = with_days_sent(read, values, reader)
    read = by_homes_alone(with_descriptions(with_rooms(read, values, reader), values, reader), values, reader)
    if earlier:
        read = of_visits(read, {at: sure for at, sure in earlier.items() if not block.labels[at]})
        read = [replace(column, heading=heading) for column, heading in zip(read, written, strict=True)]
    read = with_unit_numbers(read, values, reader)
    read = score_columns.by_headings(_with_home(read, values, reader), values, reader)
    read = score_columns.with_type_score(read, values, reader)
    read = _without_counts(read, [cells for cells in below if sum(map(bool, map(str.strip, cells))) > 1], reader)
    read = score_columns.by_sums(with_house_numbers(read, below, reader), below, reader)
    return by_sums_apart(read, below, reader)


def _with_amounts(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where one of units holds figures alone beside another that holds units, whatever this is
    called: it is the extent, as `Measure` is beside `Measured in`, `Meas.` beside `Per`."""
    share = reader.contents.share
    headed = [at for at, column in enumerate(read) if column.field == "extent_unit"]
    unread = [at for at, column in enumerate(read) if not (column.field or column.confidence)]
    figures = [at for at in headed if share("none", values[at]) >= MOST]
    has_units = len(figures) == 1 and any(share("extent_unit", values[at]) >= MOST for at in (*headed, *unread))
    if "extent" in fields_in(read) or not has_units:
        return read
    why = "its contents are figures alone, and those of another column their units"
    amount = replace(read[figures[0]], field="extent", confidence=0.9, reason=why, others=ELSE["extent"], also=())
    return [amount if at == figures[0] else column for at, column in enumerate(read)]


def _with_numbers(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where `no` beside one of another unit is how many there are: `m2 | lm | no`."""
    why = "a unit beside others, and its contents are figures"

    def is_number(at: int) -> bool:
        beside = [read[nth] for nth in (at - 1, at + 1) if 0 <= nth < len(read)]
        return (
            read[at].field is None
            and COUNTED.match(read[at].heading) is not None
            and any(one.field == "extent" and UNIT_ALONE.match(one.heading) for one in beside)
            and reader.contents.share("none", values[at]) >= MOST
            and not _are_numbers_of_rows(values[at], reader)
        )

    return [
        replace(column, field="extent", confidence=0.9, reason=why, others=ELSE["extent"], also=())
        if is_number(at)
        else column
        for at, column in enumerate(read)
    ]


def _by_key(column: Column, reader: Reader) -> Column:
    """What a column is by the key that explains its codes, where its heading is no known one."""
    name = reader.explained.get(plain(column.heading))
    if name is None or column.confidence >= MOST:
        return column
    why = "the key of the workbook explains its codes by such words"
    return replace(column, field=name, confidence=0.9, reason=why, others=ELSE.get(name, ()), also=())


def _with_home(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where none names the homes by its words: the one does whose values the stock list has most often,
    also one that asks for a place (`Where are you`) beside another of rooms."""
    homes = ("property_ref", "address")
    n_rooms = sum(1 for column in read if column.field == "room")
    places = STEPS_OF_PLACE if n_rooms > 1 else STEPS_OF_PLACE[1:]
    if reader.kind != "registers" or fields_in(read) & set(layout.PROPERTY[:3]):
        return read
    shares = [
        (_share_of_homes(name, held, reader), -at, name)
        for at, (column, held) in enumerate(zip(read, values, strict=True))
        for name in homes
        if (not column.field or (column.field in places and reader.contents.share_on_streets(held) >= MOST))
        and len(held) >= reader.least_fields
        and (name != "address" or reader.contents.knows_streets(held))
    ]
    share, nth, name = max(shares, default=(0.0, 0, ""))
    if share < MOSTLY:
        return read
    why = f"no other column names the homes, and {share:.0%} of its contents are a {name}"
    found = replace(read[-nth], field=name, confidence=max(reader.least_sure, round(0.9 * share, 2)), reason=why)
    return [*read[:-nth], found, *read[-nth + 1 :]]


def _share_of_homes(name: str, held: Sequence[str], reader: Reader) -> float:
    """The share of values that can name homes; a few streets or blocks that nearly all of them name are enough."""
    on_streets = reader.contents.share_on_streets(held) if name == "address" else 0.0
    return max(reader.contents.share(name, held), on_streets if on_streets >= MOST else 0.0)


def _by_steps(read: list[Column], reader: Reader) -> list[Column]:
    """The columns, where one word of places is numbered over several: `Location 1`, `Location 2` lead to one place step
    by step, each within the one before. The first is the room, what follows is within it; a line may say no more than
    the storey in the first. Numbered rooms are several."""
    numbered = [
        (at, plain(one[1]), int(one[2]))
        for at, column in enumerate(read)
        if (one := NUMBERED_STEP.match(column.heading))
    ]
    for word in dict.fromkeys(word for _, word, _ in numbered):
        places = [(at, number) for at, said, number in numbered if said == word]
        is_place = reader.field_of(word) == "room" and "room" not in word.split() and reader.kind == "registers"
        if not is_place or [number for _, number in places] != list(range(1, len(STEPS_OF_PLACE) + 1)):
            continue
        why = "numbered headings of one place, each within the one before"
        for (at, _), name in zip(places, STEPS_OF_PLACE, strict=True):
            read[at] = replace(read[at], field=name, confidence=0.9, reason=why, others=(), also=())
    return read


def _without_counts(read: Sequence[Column], rows: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where one that could be of references but runs on one by one from the first row numbers the rows,
    whether its heading is known or says notes: `Obs`."""
    why = "numbers of rows, as they run on one by one"

    def counts(at: int, column: Column) -> bool:
        is_sample = column.field == "sample_ref" and column.reason.startswith(BY_CONTENTS_ALONE)
        is_other = column.field == "notes" or not (column.field or column.confidence)
        if is_sample or (is_other and reader.kind == "registers"):
            return _runs_on(layout.values_at(rows, at), len(rows))
        return REFERENCE_HEADING.match(column.heading) is not None and (
            (column.field == "property_ref" and _are_numbers_of_rows(layout.values_at(rows, at), reader))
            or (column.field == "sample_ref" and _counts_beside_samples(read, rows, at, reader))
        )

    return [
        replace(column, field="item_ref", confidence=0.9, reason=why, others=()) if counts(at, column) else column
        for at, column in enumerate(read)
    ]


def _runs_on(values: Sequence[str], n_rows: int) -> bool:
    """Whether nearly every row has a number of its own, one more than the row before, with letters of no samples."""
    own = [one for value in values if (one := LETTERED.fullmatch(value))]
    letters = {one[1].upper() for one in own}
    numbers = [int(one[2]) for one in own]
    is_of_rows = len(own) >= MOST * n_rows and len(letters) == 1 and not letters & OF_SAMPLES
    return is_of_rows and numbers == list(range(numbers[0], numbers[0] + len(numbers)))


def _counts_beside_samples(read: Sequence[Column], rows: Sequence[Sequence[str]], at: int, reader: Reader) -> bool:
    """Whether references such as `TM1`, `TM2` run on from one, and another column names samples by other letters.
    Samples listed at the foot of the sheet may stand below them."""
    own = [one for cells in rows if (one := LETTERED.fullmatch(layout.at_or_blank(cells, at)))]
    letters = {one[1].upper() for one in own[:1]}
    numbers = [int(one[2]) for one in takewhile(lambda one: one[1].upper() in letters, own)]
    if len(numbers) < max(reader.least_fields, len(own) // 2) or letters & OF_SAMPLES:
        return False
    if numbers != list(range(1, len(numbers) + 1)):
        return False
    named = {
        one[1].upper()
        for other, column in enumerate(read)
        if other != at and column.field in NAMING_SAMPLES
        for value in layout.values_at(rows, other)
        for one in LETTERED.finditer(value)
    }
    return bool(named & OF_SAMPLES) and not named & letters


def _are_numbers_of_rows(values: Sequence[str], reader: Reader) -> bool:
    """Whether none is a reference of the stock list and they run on: `7`, `8`, or within each home `14.1`, `14.2`,
    `16.1`."""
    if len(values) < reader.least_fields or reader.contents.share("property_ref", values) > 0:
        return False
    numbers = [int(value.removesuffix(".0")) for value in values if value.removesuffix(".0").isdigit()]
    if len(numbers) == len(values):
        return numbers == list(range(numbers[0], numbers[0] + len(numbers)))
    parted = [part.groups() for value in values if (part := NUMBERED_WITHIN.fullmatch(value))]
    runs = [[int(number) for _, number in of] for _, of in groupby(parted, key=lambda part: part[0])]
    return (
        len(parted) >= MOST * len(values)
        and len(runs) > 1
        and all(run == list(range(1, len(run) + 1)) for run in runs)
        and any(len(run) > 1 for run in runs)
    )


def _without_ties(columns: list[Column]) -> list[Column]:
    """Columns of which several mean one field by their last words alone: which of them does is asked."""
    by_last = [column.field for column in columns if column.reason.startswith(BY_LAST)]
    why = f"{BY_LAST}, and another column's too, so neither is used"
    return [
        replace(column, field=None, confidence=UNUSED, reason=why)
        if column.reason.startswith(BY_LAST) and by_last.count(column.field) > 1
        else column
        for column in columns
    ]


def by_fit(columns: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """Of several columns that mean the material, the room, the home or the day, the one that names such is surest:
    `Material` beside `Item` or `Description`, `Room` beside `Room no`, references of the stock list beside those of a
    firm, days beside the years of `Visit`."""
    for name in ("product", "room", "property_ref", "surveyed_on"):
        shares = {
            at: reader.contents.share(name, held)
            for at, (column, held) in enumerate(zip(columns, values, strict=True))
            if column.field == name
        }
        best = max(shares, key=lambda at: (shares[at], -at), default=None)
        columns = [
            replace(column, confidence=min(column.confidence, LESS_SURE))
            if at in shares and best is not None and shares[at] + _apart(values[best], values[at]) < shares[best]
            else column
            for at, column in enumerate(columns)
        ]
    return columns


def _apart(values: Sequence[str], others: Sequence[str]) -> float:
    """How much better values must fit a field than others do: half as much where they are those of a list, and the
    others, twice as many or more, are descriptions."""
    return APART / 2 if 2 * len(set(values)) <= len(set(others)) else APART


def without_repeats(columns: Sequence[Column]) -> list[Column]:
    """A field is read from one column only, the surest, else the first; an address, notes, results and conditions of
    earlier visits may stand in several, and an extent in one for each unit."""
    kept: dict[str, int] = {}
    for index, column in enumerate(columns):
        if column.field and (column.field not in kept or column.confidence > columns[kept[column.field]].confidence):
            kept[column.field] = index
    read: list[Column] = []
    for index, column in enumerate(columns):
        also = tuple(name for name in column.also if name not in kept)
        is_one_of_several = (
            EARLIER_VISIT not in column.reason
            if column.field == "notes"
            else column.field in SEVERAL
            or (column.field == "extent" and (MEASURED.search(column.heading) or COUNTED.match(column.heading)))
        )
        if column.field and not is_one_of_several and kept[column.field] != index:
            several = (*SEVERAL, column.field)
            is_earlier = EARLIER_VISIT in column.reason
            others = sorted(
                (name for name in column.others if is_earlier or name not in OF_EARLIER_ONLY),
                key=lambda name: is_earlier and name not in BEFORE,
            )
            other = next((name for name in (*also, *others) if name in several or name not in kept), None)
            why = f"another column is read as {column.field} already"
            column = replace(column, field=other, confidence=min(0.7, column.confidence) if other else 0.0, reason=why)
            if other:
                kept.setdefault(other, index)
        column = replace(column, also=tuple(name for name in also if name != column.field))
        kept |= dict.fromkeys(column.also, index)
        read.append(column)
    return read
