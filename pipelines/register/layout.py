"""Where the tables of a sheet stand: their heading rows, what stands above them, and thin rows between their items."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import takewhile

from pipelines.register.labels import (
    IN_BRACKETS,
    LABELLED,
    NO_LABEL,
    begins_with_day,
    day_said,
    labelled,
    last_visit_said,
    this_visit,
)

Cells = Sequence[str]
Numbered = tuple[int, Cells]
Source = tuple[int, str]
"""A column of a file: its index and its heading."""

DITTO = frozenset(('"', "''", "“", "”", "〃", "″", ",,", '-"-', "ditto", "do", "do.", "-do-", "- do -", "as above"))
BLANKS = DITTO | {"-", "–", "—", "--", "null"}
"""What says nothing by itself."""
HEADING_ROWS_MOST = 3
FEWEST_SCALES = 2
SHARE, SEVERAL, SHARE_AMONG_WORDS = 1 / 2, 5, 1 / 3
"""How many of a heading's cells are known words, of one without figures that names several fields fewer."""
SCALE = re.compile(r"^\(?(?:[0-3] ?(?:-|–|to) ?[1-5]|(?:/|out of|max\.?) ?\d{1,2})\)?$", re.I)
SCALE_OR_WORD = re.compile(rf"{SCALE.pattern}|^\(?[a-z][a-z² .]{{0,12}}\)?$", re.I)
"""What a scale runs to, or a word beside such: `0-3`, `/12`, `band`."""
NARROW = 2
CELLS_OF_LABEL = 4
"""Of a line with labels, the cells for each: half of them at least are labels and values, as `Surveyed` may be a value
in a row of a table."""
LONGEST_LABEL = 60
"""Characters: anything longer says something of an item, and is no heading."""
LINE_ENDS = re.compile(r"\s*\n\s*|\s{3,}(?=[A-Z][a-z]+(?: [a-z]+)?:)")
KIND_FIRST = re.compile(
    r"^(?:void|refurbishment|management|demolition|re-?inspection)(?: (?:survey|property|inspection))?\s*[:\n–-]\s*"
    r"(?=(?:[a-z]+\.? )?\d)",
    re.I,
)
"""A kind of survey before an address: `VOID: 9 Elm Close`."""
PROPERTY = ("property_ref", "uprn", "address", "postcode")
RESULTS = ("identification", "asbestos_types")
OF_YEAR = re.compile(r"^\s*(?:19|20)\d\d(?:\.0)?\s*$")
TOTAL = re.compile(r"^(?:grand|sub|page)?[\s-]*totals?\b", re.I)
BROKEN_OFF, BROKEN = re.compile(r"[a-z]-$"), re.compile(r"(?<=[a-z])- (?=[a-z])")
"""Where a word goes on in the cell below: `Distur-`, `bance`."""
VALUE = re.compile(
    r"^(?!(?:19|20)\d\d(?:\.0)?$)[\s\d.,/:£%+-]+$|\b\d{1,2}:\d\d\b|^\d+(?:\.\d+)? ?(?:m2|m²|sq\.? ?m|sqm|lm|metres?)$",
    re.I,
)
"""No words, a time or an amount; but for a year, which may stand over the columns of a visit."""


@dataclass(frozen=True)
class Block:
    """The heading of a table: first and last row number, and for each column the words that may name it, best first."""

    first: int
    last: int
    labels: tuple[tuple[str, ...], ...]


@dataclass
class Above:
    """What stands above a table: values by the field that their label names, and lines without one, nearest first."""

    first: int
    labelled: dict[str, str] = field(default_factory=dict)
    unlabelled: list[str] = field(default_factory=list)


def is_ditto(cell: str) -> bool:
    """Whether a cell is a mark that repeats the cell above."""
    return cell.strip().lower() in DITTO


def blocks(rows: Sequence[Numbered], fields_of: Callable[[str], str | None], least: int) -> list[Block]:
    """The headings among rows of a sheet, in their order.

    A row is a heading if at least `least` of its cells, and half of them, are words that `fields_of` knows, each of
    another field. The rows right above and below join it, at most three in all, where that names more columns. One
    that comes again on the next page is what it was before, whatever stands above it.
    """
    found: list[Block] = []
    for index, (number, cells) in enumerate(rows):
        if found and number <= found[-1].last:
            continue
        if is_heading(cells, fields_of, least):
            again = next((one for before in found if (one := _again(rows, index, before))), None)
            found.append(again or _widest(rows, index, fields_of, found[-1].last if found else 0))
    below = {number: cells for number, cells in rows}
    return [replace(one, last=one.last + 1) if _is_of_scales(below.get(one.last + 1, ())) else one for one in found]


def _is_of_scales(cells: Cells) -> bool:
    """Whether a row below a heading says what its scores run to: `1-3 | 0-3 | /12 | band`."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    return sum(1 for cell in filled if SCALE.match(cell)) >= FEWEST_SCALES and all(map(SCALE_OR_WORD.match, filled))


def _again(rows: Sequence[Numbered], index: int, before: Block) -> Block | None:
    """An earlier heading that ends in this row once more, with the rows above it that come again too."""
    earlier = [cells for number, cells in rows if before.first <= number <= before.last]
    height = next((n for n in range(len(earlier), 0, -1) if _texts(rows, index + 1 - n, n) == _said(earlier[-n:])), 0)
    if not height:
        return None
    return Block(rows[index + 1 - height][0], rows[index][0], before.labels)


def _texts(rows: Sequence[Numbered], start: int, n_rows: int) -> list[dict[int, str]] | None:
    return _said([cells for _, cells in rows[start : start + n_rows]]) if start >= 0 else None


def _said(group: Sequence[Cells]) -> list[dict[int, str]]:
    """What rows say, by column."""
    return [{at: cell.strip() for at, cell in enumerate(cells) if cell.strip()} for cells in group]


def is_heading(cells: Cells, fields_of: Callable[[str], str | None], least: int) -> bool:
    """Whether a row names at least so many fields, and most of its cells another one."""
    filled = [cell for cell in cells if cell.strip()]
    values = [cell for cell in filled if VALUE.search(cell)]
    named: set[str | None] = {None} if values else set()
    # what has figures comes last: it is seldom a word that is known, and hardly any comes twice
    words = sorted(
        (cell for cell in filled if not VALUE.search(cell)), key=lambda cell: NO_LABEL.search(cell) is not None
    )
    is_of_words = not any(map(NO_LABEL.search, filled))
    share = SHARE_AMONG_WORDS if is_of_words else SHARE
    for count, cell in enumerate(words, start=len(values) + 1):
        named.add(fields_of(cell))
        if count - len(named) > (1 - share) * len(filled):
            return False
    named.discard(None)
    share = SHARE if len(named) < SEVERAL else share
    return len(named) >= least and len(named) >= share * len(filled)


def block_at(rows: Sequence[Numbered], index: int, first: int) -> Block:
    """The heading that consists of the rows from `first` to `index`."""
    group = rows[first : index + 1]
    return Block(group[0][0], group[-1][0], _labels([cells for _, cells in group]))


def _widest(rows: Sequence[Numbered], index: int, fields_of: Callable[[str], str | None], after: int) -> Block:
    """The heading around a row that names the most columns, and tells apart those of one name; the shortest of them."""
    start = index
    while start and index - start < HEADING_ROWS_MOST - 1 and joins(rows, start - 1) and rows[start - 1][0] > after:
        start -= 1
    options = [
        block_at(rows, last, first)
        for first in range(start, index + 1)
        for last in _last_rows(rows, index)
        if last - first < HEADING_ROWS_MOST
    ]

    def columns_named(block: Block) -> int:
        found = (next((name for label in labels if (name := fields_of(label))), None) for labels in block.labels)
        return len(set(found) - {None})

    def told_apart(block: Block) -> int:
        return len({labels[0] for labels in block.labels if labels})

    return max(
        options, key=lambda block: (columns_named(block), told_apart(block), block.first - block.last, block.last)
    )


def joins(rows: Sequence[Numbered], index: int) -> bool:
    """Whether a row can be part of a heading with the one below it: right above it, and short words only."""
    number, cells = rows[index]
    is_label = all(len(cell) <= LONGEST_LABEL and not VALUE.search(cell) for cell in cells if cell.strip())
    is_alone = sum(1 for cell in cells if cell.strip()) == 1
    return rows[index + 1][0] == number + 1 and (is_label or (is_alone and not VALUE.search("".join(cells).strip())))


def _last_rows(rows: Sequence[Numbered], index: int) -> Iterator[int]:
    yield index
    if index + 1 < len(rows) and joins(rows, index):
        cells = rows[index + 1][1]
        if cells and not any(NO_LABEL.search(IN_BRACKETS.sub("", OF_YEAR.sub("", cell))) for cell in cells):
            yield index + 1


def _labels(group: Sequence[Cells]) -> tuple[tuple[str, ...], ...]:
    """For each column: its label with the labels over it, then each alone, from the lowest up."""
    width = max(map(len, group))
    padded = [[*(cell.strip() for cell in cells), *[""] * (width - len(cells))] for cells in group]
    spread = [_spread(cells) for cells in padded[:-1]]
    labels: list[tuple[str, ...]] = []
    for column in range(width):
        own = [cells[column] for cells in padded]
        over = [cells[column] for cells in spread]
        lowest = next((text for text in reversed(own) if text), "")
        if not lowest:
            labels.append(())
            continue
        joined = " ".join(dict.fromkeys(text for text in [*over, own[-1]] if text)) if own[-1] else lowest
        joined = BROKEN.sub("", joined)
        choices = [joined, *reversed([text for text in own if text])]
        labels.append(tuple(dict.fromkeys(choices)))
    return tuple(labels)


def _spread(labels: Cells) -> list[str]:
    """Group labels carried to the right over the blank cells that a merged cell leaves; a word that is broken off goes
    on below, not beside."""
    spread, last = [], ""
    for label in labels:
        spread.append(label or last)
        last = "" if BROKEN_OFF.search(label) else label or last
    return spread


def above(
    rows: Sequence[Numbered],
    block: Block,
    after: int,
    fields_of: Callable[[str], str | None],
    is_of_rooms: Callable[[Sequence[str]], bool] = lambda _: False,
    has_property: bool = False,
) -> Above:
    """What stands above a heading and below row `after`, where the sheet's table before ends.

    Rows that are as wide as a table end it, below another table those of more than two cells, unless they are pairs of
    label and value; so do a total of that table, and rows that say something of rooms, which belong to the table
    before, once this one's property is named, or where its rows name theirs themselves (`has_property`).
    """
    first, n_columns = block.first, sum(1 for labels in block.labels if labels)
    widest = NARROW if after else max(NARROW, n_columns // 2)
    found = Above(first)
    below: list[Cells] = []
    start = max(after, _of_another_home([row for row in rows if after < row[0] < first], fields_of) if after else 0)
    for number, cells in reversed([line for row in rows if start < row[0] < first for line in _on_lines(row)]):
        filled = [cell.strip() for cell in cells if cell.strip()]
        pairs = dict(labelled(filled, fields_of))
        going_on = _going_on(below, cells, fields_of)
        if "address" in pairs and going_on and pairs["address"] == at_or_blank(cells, going_on[0]):
            pairs["address"] = ", ".join([pairs["address"], *going_on[1]])
            found.unlabelled = [text for text in found.unlabelled if text not in going_on[1]]
        below = [cells, *below]
        is_named = has_property or bool(found.unlabelled) or not found.labelled.keys().isdisjoint(PROPERTY)
        is_wide = len(filled) > widest and len(filled) > CELLS_OF_LABEL * len(pairs)
        is_wide = is_wide or (after > 0 and len(filled) > 1 and TOTAL.match(filled[0]) is not None)
        if is_wide or (not pairs and after > 0 and is_named and is_of_rooms(filled)):
            break
        found.first = number
        found.labelled = pairs | found.labelled
        said = set(pairs.values())
        found.unlabelled += [
            text
            for text in filled
            if text not in said
            and not day_said(text)
            and not fields_of(text.rstrip(" :="))
            and not LABELLED.match(text)
        ]
    found.labelled = this_visit(last_visit_said(found.unlabelled) | found.labelled)
    return found


def _of_another_home(rows: Sequence[Numbered], fields_of: Callable[[str], str | None]) -> int:
    """The last row that labels a home as one below it does, as it is of another that lists nothing; 0 for none."""
    seen: set[str] = set()
    for row in reversed(rows):
        cells = [[cell.strip() for cell in cells if cell.strip()] for _, cells in _on_lines(row)]
        named = {name for filled in cells for name, _ in labelled(filled, fields_of) if name in PROPERTY}
        if named & seen:
            return row[0]
        seen |= named
    return 0


def _on_lines(row: Numbered) -> Iterator[Numbered]:
    """The lines that stand above a table in one cell, each as a row: an address, `Date: 8 May 2025`, `Surveyor: ...`.
    One without a label or a day goes on with the line before."""
    number, cells = row
    filled = [(at, cell) for at, cell in enumerate(cells) if cell.strip()]
    if len(filled) != 1:
        yield row
        return
    at, text = filled[0]
    text = KIND_FIRST.sub("", text.strip())
    lines: list[str] = []
    for line in LINE_ENDS.split(text):
        if lines and not LABELLED.match(line) and not begins_with_day(line):
            lines[-1] = f"{lines[-1]}, {line}"
        else:
            lines.append(line)
    for line in lines if len(lines) > 1 else [text]:
        yield number, [*[""] * at, line]


def _going_on(
    below: Sequence[Cells], cells: Cells, fields_of: Callable[[str], str | None]
) -> tuple[int, list[str]] | None:
    """The column of an address's value, and the further lines of it that stand below without a label of their own."""
    at = next((at + 1 for at, cell in enumerate(cells) if fields_of(cell.strip(" :=")) == "address"), None)
    if at is None:
        return None
    lines = takewhile(lambda line: at_or_blank(line, at) and not at_or_blank(line, at - 1), below)
    return at, [at_or_blank(line, at) for line in lines]


def at_or_blank(cells: Cells, at: int) -> str:
    """A cell of a row that may be shorter than its heading."""
    return cells[at].strip() if at < len(cells) else ""


def values_at(rows: Sequence[Cells], at: int) -> list[str]:
    """What the rows of a table say in one column, without those that leave it blank."""
    return [value for cells in rows if (value := at_or_blank(cells, at))]
