"""The columns of a table together: which of several means a field, which number rows or homes, what adds up."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain, groupby, pairwise, takewhile

from pipelines.register import contents, layout
from pipelines.register.meanings import APART, BY_LAST, EARLIER_VISIT, MEASURED, Column, by_contents, by_words
from pipelines.register.reader import Reader
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
NUMBER_HEADING = re.compile(r"^(?:no|nr|number|#)\.?$", re.I)
UNIT_HEADING = re.compile(r"^(?:unit|plot|flat|house|bungalow)s?(?: ?(?:no|nr|number))?\.?$", re.I)
"""What may number homes, or be something else altogether."""
WORDS = re.compile(r"^[a-z]{3,} ", re.I)
TOTAL = re.compile(r"^\W*(?:(?:sub|grand)\W*)?totals?\b", re.I)
INITIALS = {
    "P": ("product_type_score",),
    "C": ("damage_score", "damage_before"),
    "S": ("surface_treatment_score", "surface_before"),
    "A": ("asbestos_type_score",),
}
"""Product, condition, surface and asbestos type."""
LETTERED = re.compile(r"\b([A-Za-z]{1,3})[-/ ]?0*(\d{1,4})\b")
OF_SAMPLES = {"S", "SA", "BS", "AS", "SN", "SMP", "ASB"}
NAMING_SAMPLES = ("sample_ref", "identification", "asbestos_types")
NUMBERED_WITHIN = re.compile(r"(\w{1,6})[./-](\d{1,3})")
SAMPLES_HEADING = re.compile(r"\b(?:samples?|smpl?|lab)\b", re.I)
REFERENCE_HEADING = re.compile(r"^(?:item |line |row )?(?:ref|no|nr|number|id|#)\.?$", re.I)
HOUSE_NUMBER = re.compile(
    r"^(?:(?:fl|flat|apt|apartment|unit|no)\.?\s*)?\d{1,4}[a-z]?(?:\.0)?(?:\s*(?:,|&|and|-|to)\s*\d{1,4}[a-z]?)*$|^(?:comm|communal|common)\.?$",
    re.I,
)
NUMBERED_STEP = re.compile(r"^\W*(\D*?[a-z])\W*\b(?:level |tier )?([1-9])\W*$", re.I)
STEPS_OF_PLACE = ("room", "position")
"""What headings of places numbered 1 and 2 hold."""
ALL, MOST = 1.0, 0.9
HOMES_MOST = 0.9
"""Of the rows, where a column of numbers names homes that have several."""
LESS_SURE = 0.8
HOME_ON_LINE = re.compile(r"^\s*(?:(?:flat|apt|no)\.?\s*)?\d{1,4}[a-z]?,?\s+(.*)", re.I)
STREET_ENDS = re.compile(r",|\s\d|\s[-–—(]")


def fields_in(columns: Iterable[Column]) -> set[str]:
    """The fields that some columns are read as."""
    return {column.field for column in columns if column.field}


def read_columns(block: layout.Block, below: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """How each column of a table reads, by its heading and by the rows below it.

    Where headings name several years, those of the last are of this visit and the others of earlier ones.
    """
    written = [next(iter(labels), "") for labels in block.labels]
    block, earlier = without_visits(block)
    letters = _letters_of_scores(block, reader)
    values = [
        [
            text
            for cells in below
            if at < len(cells) and (text := cells[at].strip()) and text.lower() not in layout.BLANKS
        ]
        for at in range(len(block.labels))
    ]
    read = [by_words(labels, held, reader) for labels, held in zip(block.labels, values, strict=True)]
    read = _by_steps([_by_letter(column, letters) for column in read], reader)
    read = of_visits(read, earlier)
    read = by_fit(_without_ties(read), values, reader)
    taken = fields_in(read)
    if any(column.field and SAMPLES_HEADING.search(column.heading) for column in read):
        taken |= {"sample_ref"}  # also where results stand beside them
    read = [
        column if column.field or column.confidence else by_contents(column, held, reader, taken)
        for column, held in zip(read, values, strict=True)
    ]
    if earlier:
        read = of_visits(read, {at: sure for at, sure in earlier.items() if not block.labels[at]})
        read = [replace(column, heading=heading) for column, heading in zip(read, written, strict=True)]
    read = _with_type_score(read, values, reader)
    read = _without_counts(read, [cells for cells in below if sum(map(bool, map(str.strip, cells))) > 1], reader)
    return _by_sums(_with_house_numbers(read, below, reader), below, reader)


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


def _with_type_score(read: list[Column], values: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where one of types holds figures beside the other scores of the material assessment: `Type` is then
    the score of the asbestos type."""
    if not set(contents.SCORES[:3]) <= fields_in(read) or contents.SCORES[3] in fields_in(read):
        return read
    why = "its contents are scores, as the columns beside it are"
    return [
        replace(column, field=contents.SCORES[3], confidence=0.9, reason=why, others=(), also=())
        if column.field == "asbestos_types" and held and reader.contents.share("damage_score", held) >= MOST
        else column
        for column, held in zip(read, values, strict=True)
    ]


def _letters_of_scores(block: layout.Block, reader: Reader) -> Mapping[str, Sequence[str]]:
    """What letters mean by which columns of scores are headed together: the initials of what is scored (`P C S A`)."""
    letters = {labels[0].strip().upper() for labels in block.labels if labels}
    return INITIALS if reader.kind == "registers" and INITIALS.keys() <= letters else {}


def _by_letter(column: Column, letters: Mapping[str, Sequence[str]]) -> Column:
    """A column of scores by its letter, where it has one."""
    first, *others = letters.get(column.heading.strip().upper(), (None,))
    if first is None:
        return column
    why = "an initial of the material assessment, as the others stand beside it"
    return replace(column, field=first, confidence=0.9, reason=why, others=tuple(others), also=())


def _without_counts(read: Sequence[Column], rows: Sequence[Sequence[str]], reader: Reader) -> list[Column]:
    """The columns, where one that could be of references but runs on one by one from the first row numbers the rows."""
    return [
        replace(
            column, field="item_ref", confidence=0.9, reason="numbers of rows, as they run on one by one", others=()
        )
        if REFERENCE_HEADING.match(column.heading)
        and (
            (column.field == "property_ref" and _are_numbers_of_rows(_values(rows, at), reader))
            or (column.field == "sample_ref" and _counts_beside_samples(read, rows, at, reader))
        )
        else column
        for at, column in enumerate(read)
    ]


def _values(rows: Sequence[Sequence[str]], at: int) -> list[str]:
    return [value for cells in rows if (value := layout.at_or_blank(cells, at))]


def _counts_beside_samples(read: Sequence[Column], rows: Sequence[Sequence[str]], at: int, reader: Reader) -> bool:
    """Whether references such as `TM1`, `TM2` run on from one, and another column names samples by other letters.
    Samples listed at the foot of the sheet may stand below them."""
    own = [one for cells in rows if (one := LETTERED.fullmatch(layout.at_or_blank(cells, at)))]
    letters = {one[1].upper() for one in own[:1]}
    numbers = [int(one[2]) for one in takewhile(lambda one: one[1].upper() in letters, own)]
    if len(numbers) < max(reader.least_fields, len(own) // 2) or letters & OF_SAMPLES:
        return False
    is_surer = any(one.field == "sample_ref" and one.confidence > read[at].confidence for one in read)
    if is_surer or numbers != list(range(1, len(numbers) + 1)):
        return False
    named = {
        one[1].upper()
        for other, column in enumerate(read)
        if other != at and column.field in NAMING_SAMPLES
        for value in _values(rows, other)
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
    rows = _numbered(read, below, at)
    own = [value for value in _values(rows, at) if not (TOTAL.match(value) or layout.is_ditto(value))]
    n_homes = sum(1 for value in own if HOUSE_NUMBER.match(value))
    of_homes = len(own) >= reader.least_fields and n_homes >= (ALL if at == first else MOST) * len(own)
    is_unit = UNIT_HEADING.match(read[at].heading) is not None and read[at].field in (None, "extent_unit")
    if not (is_unit or NUMBER_HEADING.match(read[at].heading)) or not of_homes:
        return read
    if _has_homes(below, reader):
        return read
    has_streets = _has_streets(below, reader)
    if not all(
        _are_streets(rows, nth) if read[nth].field == "address" else has_streets and at != first for nth in named
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
    return before.field == "property_ref" and one.field is None and NUMBER_HEADING.match(one.heading) is not None


def _are_streets(rows: Sequence[Sequence[str]], at: int) -> bool:
    """Whether the addresses of a column lack their numbers."""
    return not any(re.search(r"\d", layout.at_or_blank(cells, at)) for cells in rows)


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
    """Of several columns that mean the material, the room or the home, the one that names such is surest: `Material`
    beside `Item`, `Room` beside `Room no`, references of the stock list beside those of a firm."""
    for name in ("product", "room", "property_ref"):
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
