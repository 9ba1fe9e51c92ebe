"""The columns of a table together: which of several means a field, which visit each is of, what adds up."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain, pairwise

from pipelines.register import contents, layout
from pipelines.register.meanings import APART, BY_LAST, EARLIER_VISIT, MEASURED, Column, by_contents, by_words
from pipelines.register.reader import Reader
from pipelines.register.words import plain

BEFORE = ("damage_before", "surface_before", "surveyed_before")
# What may stand in several columns.
SEVERAL = ("address", "notes", "damage_before", "surface_before", "surveyed_before")
BLANKS = layout.DITTO | {"-", "–", "—", "--", "null"}
YEAR = re.compile(r"\b(?:19|20)\d\d\b")
YEAR_MARKED = re.compile(r"[(\[]?\b(?:19|20)\d\d\b[)\]]?")
EARLIER_SURE = 0.7
UNUSED = 0.1
NUMBER_HEADING = re.compile(r"^(?:no|nr|number|#)\.?$", re.I)
HOUSE_NUMBER = re.compile(
    r"^(?:(?:fl|flat|apt|apartment|unit|no)\.?\s*)?\d{1,4}[a-z]?(?:\.0)?(?:\s*(?:,|&|and|-|to)\s*\d{1,4}[a-z]?)*$|^(?:comm|communal|common)\.?$",
    re.I,
)
ALL, MOST = 1.0, 0.9
HOMES_MOST = 0.9
"""Of the rows, where a column of numbers names homes that have several."""
LESS_SURE = 0.8
STREET_ENDS = re.compile(r",|\s\d|\s[-–—(]")


def fields_in(columns: Iterable[Column]) -> set[str]:
    """The fields that some columns are read as."""
    return {column.field for column in columns if column.field}


def read_columns(block: layout.Block, below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """How each column of a table reads, by its heading and by the rows below it.

    Where headings name several years, those of the last are of this visit and the others of earlier ones.
    """
    written = [next(iter(labels), "") for labels in block.labels]
    block, earlier = _without_years(block)
    values = [
        [text for cells in below if at < len(cells) and (text := cells[at].strip()) and text.lower() not in BLANKS]
        for at in range(len(block.labels))
    ]
    read = [by_words(labels, held, reader) for labels, held in zip(block.labels, values, strict=True)]
    read = _of_visits(read, earlier)
    read = _by_fit(_without_ties(read), values, reader)
    taken = fields_in(read)
    read = [
        column if column.field or column.confidence else by_contents(column, held, reader, taken)
        for column, held in zip(read, values, strict=True)
    ]
    if earlier:
        read = _of_visits(read, {at: sure for at, sure in earlier.items() if not block.labels[at]})
        read = [replace(column, heading=heading) for column, heading in zip(read, written, strict=True)]
    return _by_sums(_with_house_numbers(read, below, reader), below, reader)


def _of_visits(read: Iterable[Column], earlier: Mapping[int, float]) -> list[Column]:
    """The columns, those of earlier visits less sure."""
    return [
        replace(column, confidence=column.confidence * earlier[at], reason=f"{column.reason}, at {EARLIER_VISIT}")
        if at in earlier and column.field
        else column
        for at, column in enumerate(read)
    ]


def _with_house_numbers(read: list[Column], below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """A first column of numbers that go on below themselves, or one beside streets, counts homes and not rows, where no
    other column names them."""
    first = next((at for at, column in enumerate(read) if column.heading), None)
    beside = (at for at, (one, following) in enumerate(pairwise(read)) if _is_number_of(one, following))
    behind = (at for at, (before, one) in enumerate(pairwise(read), start=1) if _is_number_behind(before, one))
    at = next(chain(beside, behind), first)
    named = [nth for nth, column in enumerate(read) if column.field in layout.PROPERTY and column.field != "postcode"]
    if at is None or reader.kind != "registers" or "room" not in fields_in(read):
        return read
    rows = [cells for cells in below if sum(1 for cell in cells if cell.strip()) > 1]
    own = [value for cells in rows if (value := layout.at_or_blank(cells, at))]
    n_homes = sum(1 for value in own if HOUSE_NUMBER.match(value))
    of_homes = len(own) >= reader.least_fields and n_homes >= (ALL if at == first else MOST) * len(own)
    if not NUMBER_HEADING.match(read[at].heading) or not of_homes:
        return read
    has_streets = _has_streets(below, reader)
    if not all(
        _are_streets(rows, nth) if read[nth].field == "address" else has_streets and at != first for nth in named
    ):
        return read
    numbers = [int(value.removesuffix(".0")) for value in own if value.removesuffix(".0").isdigit()]
    is_running = numbers == list(range(numbers[0], numbers[0] + len(own))) if numbers else False
    if is_running or (not named and len(own) > HOMES_MOST * len(rows) and not has_streets):
        return read
    column = replace(read[at], field="address", confidence=0.75, reason="numbers of homes, as rows go on below them")
    return [*read[:at], column, *read[at + 1 :]]


def _has_streets(below: Sequence[Sequence[str]], reader: Reader) -> bool:
    """Whether lines between the rows name streets of the stock list."""
    alone = [filled[0] for cells in below if len(filled := [cell for cell in cells if cell.strip()]) == 1]
    streets = reader.contents.stock.get("street", ())
    return any(plain(STREET_ENDS.split(text)[0]) in streets for text in alone)


def _is_number_of(one: Column, following: Column) -> bool:
    return following.field == "address" and one.field is None and NUMBER_HEADING.match(one.heading) is not None


def _is_number_behind(before: Column, one: Column) -> bool:
    return before.field == "property_ref" and one.field is None and NUMBER_HEADING.match(one.heading) is not None


def _are_streets(rows: Sequence[Sequence[str]], at: int) -> bool:
    """Whether the addresses of a column lack their numbers."""
    return not any(re.search(r"\d", layout.at_or_blank(cells, at)) for cells in rows)


def _without_years(block: layout.Block) -> tuple[layout.Block, dict[int, float]]:
    """A heading without the years that tell its columns apart, and how sure the columns are that are not of the last
    of them: the earlier the less."""
    years = [set(map(int, YEAR.findall(" ".join(labels)))) for labels in block.labels]
    named = set().union(*years)
    if len(named) < 2:
        return block, {}
    age = {year: age for age, year in enumerate(sorted(named, reverse=True))}
    earlier = {at: EARLIER_SURE ** age[max(own)] for at, own in enumerate(years) if own and max(named) not in own}
    bare = tuple(
        tuple(dict.fromkeys(text for label in labels if (text := " ".join(YEAR_MARKED.sub(" ", label).split()))))
        for labels in block.labels
    )
    return replace(block, labels=bare), earlier


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


def _by_fit(columns: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """Of several columns that mean the material, or the room, the one that names such is surest: `Material` beside
    `Item`, `Room` beside `Room no`."""
    for name in ("product", "room"):
        shares = {
            at: reader.contents.share(name, held)
            for at, (column, held) in enumerate(zip(columns, values, strict=True))
            if column.field == name
        }
        best = max(shares, key=lambda at: (shares[at], -at), default=None)
        columns = [
            replace(column, confidence=min(column.confidence, LESS_SURE))
            if at in shares and best is not None and shares[at] + APART < shares[best]
            else column
            for at, column in enumerate(columns)
        ]
    return columns


def _by_sums(read: list[Column], below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """Four neighbouring columns of scores that add up to a fifth are the material assessment, in its printed order."""
    told = {column.field for column in read if len(column.heading) > 1}
    if reader.kind != "registers" or set(contents.SCORES) & told:
        return read
    width = len(read)
    padded = [[*(cell.strip() for cell in cells[:width]), *[""] * (width - len(cells))] for cells in below]
    found = contents.adding_up([list(column) for column in zip(*padded, strict=True)]) if padded else None
    if found is None:
        return read
    first, total = found
    fields = dict(zip(range(first, first + 4), contents.SCORES, strict=True)) | {total: "material_score"}
    if any(column.field == "damage" and at not in fields for at, column in enumerate(read)):
        return read  # what adds up beside a condition in words may be the priority assessment
    why = "four columns of scores add up to a fifth"
    return [
        replace(column, field=fields[at], confidence=0.8, reason=why, others=(), also=())
        if at in fields
        else replace(column, field=None, confidence=0.0, reason=f"{why} elsewhere")
        if column.field in fields.values()
        else column
        for at, column in enumerate(read)
    ]


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
            else column.field in SEVERAL or (column.field == "extent" and MEASURED.search(column.heading))
        )
        if column.field and not is_one_of_several and kept[column.field] != index:
            several = (*SEVERAL, column.field)
            is_earlier = EARLIER_VISIT in column.reason
            others = sorted(column.others, key=lambda name: is_earlier and name not in BEFORE)
            other = next((name for name in (*also, *others) if name in several or name not in kept), None)
            why = f"another column is read as {column.field} already"
            column = replace(column, field=other, confidence=min(0.7, column.confidence) if other else 0.0, reason=why)
            if other:
                kept.setdefault(other, index)
        column = replace(column, also=tuple(name for name in also if name != column.field))
        kept |= dict.fromkeys(column.also, index)
        read.append(column)
    return read
