"""Items side by side: groups of columns whose headings come again with the next number, or simply again."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pipelines.register.contents import MOSTLY
from pipelines.register.contents_columns import BY_CONTENTS
from pipelines.register.layout import Source, at_or_blank
from pipelines.register.reader import Reader
from pipelines.register.shorthand import Shorthand
from pipelines.register.words import plain

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
# One to 99, but no `m2`, `0-3`, `1.5` or year.
NUMBER = re.compile(r"(?<!\bm)(?<!\bsqm)(?<![\d.,-])(?<!\d[a-z])([1-9]\d?)(?:st|nd|rd|th)?(?![\d²%]|-\d|[.,]\d)", re.I)
SCALE = re.compile(r"\((?:0\s*[-–]\s*3|1\s*[-–]\s*3|/?12)\)")
EMPTY_WORDS = re.compile(r"\b(item|acm|finding|no|nr|number)\b\.?", re.I)
MARKS = " ._:#()[]-"
FURTHER = re.compile(
    r"(?:^|[;\n])\W*(?:item|acm|no\.?|nr\.?)?\s*#?(\d{1,2})(?:st|nd|rd|th)?(?: item| acm)?\s*[:.)–=-]\s*", re.I
)
LINE = "Line"
"""The heading of the number that an item has in its row."""


@dataclass(frozen=True)
class Groups:
    """Items side by side, each a group of columns with the same headings."""

    first: int
    last: int
    shared: list[Source]
    bases: list[str]
    fields: list[Sequence[str]]
    groups: list[dict[str, Source]]
    shorthand: Shorthand
    is_numbered: bool

    is_grid = False

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        over = {base: tuple(group[base] for group in self.groups if base in group) for base in self.bases}
        return [
            *((text, ((at, text),)) for at, text in self.shared),
            (LINE, ()),
            *((base, over[base]) for base in self.bases),
        ]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell is about a home, rather than a line between."""
        return False

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """The lines of a row, one an item: what it says of all of them, the item's number, what it says of the item."""
        shared = [at_or_blank(cells, at) for at, _ in self.shared]
        items = [
            [at_or_blank(cells, group[base][0]) if base in group else "" for base in self.bases]
            for group in self.groups
        ]
        numbered = [(str(nth), item) for nth, item in enumerate(items, start=1) if any(item)]
        further = [list(self._further(cell)) for cell in shared]
        numbered += [item for found in further for item in found]
        shared = [self._own(cell) if found else cell for cell, found in zip(shared, further, strict=True)]
        for nth, item in numbered or [("", [""] * len(self.bases))]:
            yield [*shared, nth, *item]

    def _own(self, cell: str) -> str:
        """What a cell says before its further items."""
        first = next(one for one in FURTHER.finditer(cell) if int(one[1]) > len(self.groups))
        return cell[: first.start()].strip()

    def _further(self, cell: str) -> Iterator[tuple[str, list[str]]]:
        """Items beyond the last group, where a cell of the row has them as `9: Garage, cement roof, presumed`."""
        found = [one for one in FURTHER.finditer(cell) if int(one[1]) > len(self.groups)]
        ends = [*(one.start() for one in found[1:]), len(cell)]
        for one, end in zip(found, ends, strict=False):
            said = self.shorthand.read(cell[one.end() : end].strip())
            if said.get("product") or said.get("room"):
                yield one[1], [next((said[name] for name in names if name in said), "") for names in self.fields]


def find(
    labels: Sequence[Sequence[str]],
    first: int,
    last: int,
    below: Sequence[Sequence[str]],
    reader: Reader,
    shorthand: Shorthand,
) -> Groups | None:
    """The groups of a heading that name a material, or a room and a result, more than once."""
    numbered, repeated = _numbered(labels), _repeated(labels)
    for of in (numbered, repeated):
        by_number = _by_number(of, labels)
        bases = list(dict.fromkeys(base for group in by_number.values() for base in group))
        items = [group for group in by_number.values() if _is_item(group, reader)]
        if len(items) < 2 or len(bases) < 2 or (of is repeated and not _follow_each_other(list(by_number.values()))):
            continue
        taken = {at for group in by_number.values() for at, _ in group.values()}
        shared = [(at, reader.first_known(texts)) for at, texts in enumerate(labels) if texts and at not in taken]
        columns = [[group[base][0] for group in by_number.values() if base in group] for base in bases]
        fields = [reader.fields_of(base) or _held(at, below, reader) for base, at in zip(bases, columns, strict=True)]
        return Groups(first, last, shared, bases, fields, list(by_number.values()), shorthand, of is numbered)
    return None


def _held(columns: Sequence[int], below: Sequence[Sequence[str]], reader: Reader) -> Sequence[str]:
    """The field that the cells of some columns fit, where their words are not known."""
    values = [cell for row in below for at in columns if (cell := at_or_blank(row, at))]
    share, name = reader.contents.best(values, BY_CONTENTS[reader.kind])[0]
    return (name,) if share >= MOSTLY else ()


def _by_number(of: Mapping[int, tuple[int, str]], labels: Sequence[Sequence[str]]) -> dict[int, dict[str, Source]]:
    """The columns of each number by their words; words of one number only are of no group."""
    numbers: dict[str, set[int]] = {}
    written: dict[str, str] = {}
    for number, base in of.values():
        numbers.setdefault(plain(base), set()).add(number)
        written.setdefault(plain(base), base)
    found: dict[int, dict[str, Source]] = {}
    for at, (number, base) in of.items():
        if len(numbers[plain(base)]) > 1:
            found.setdefault(number, {}).setdefault(written[plain(base)], (at, labels[at][0]))
    return {number: found[number] for number in sorted(found)}


def _is_item(group: Mapping[str, Source], reader: Reader) -> bool:
    """Whether the columns of a group make an item: its material, or where it is and what was found."""
    names = {name for base in group for name in reader.fields_of(base)}
    return "product" in names or {"room", "identification"} <= names


def _follow_each_other(groups: Sequence[Mapping[str, Source]]) -> bool:
    """Whether each group ends before the next begins."""
    spans = [[at for at, _ in group.values()] for group in groups]
    return all(max(one) < min(other) for one, other in pairwise(spans))


def _numbered(labels: Sequence[Sequence[str]]) -> dict[int, tuple[int, str]]:
    """Number and other words of each column whose label has one number; where they begin with 2, the first has none."""
    found: dict[int, tuple[int, str]] = {}
    for at, texts in enumerate(labels):
        figures = _with_figures(texts[0]) if texts else ""
        numbers = list(NUMBER.finditer(figures))
        if len(numbers) == 1:
            base = _bare(f"{figures[: numbers[0].start()]} {figures[numbers[0].end() :]}")
            found[at] = (int(numbers[0][1]), base or texts[0])
    if found and min(number for number, _ in found.values()) == 2:
        known = {plain(base) for _, base in found.values()}
        bare = {at: _bare(texts[0]) for at, texts in enumerate(labels) if texts and at not in found}
        found |= {at: (1, base) for at, base in bare.items() if plain(base) in known}
    return found


def _with_figures(text: str) -> str:
    """A label with blanks between its words, figures for ordinals, and no scale in brackets."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text.replace("_", " "))
    for nth, word in enumerate(ORDINALS, start=1):
        words = re.sub(rf"\b{word}\b", str(nth), words, flags=re.I)
    return SCALE.sub("", words)


def _bare(text: str) -> str:
    """A label without marks at its ends and words that only count."""
    words = " ".join(text.split()).strip(MARKS)
    return " ".join(EMPTY_WORDS.sub(" ", words).split()).strip(MARKS) or words


def _repeated(labels: Sequence[Sequence[str]]) -> dict[int, tuple[int, str]]:
    """The columns of a heading by how many times their words have come."""
    seen: dict[str, int] = {}
    found: dict[int, tuple[int, str]] = {}
    for at, texts in enumerate(labels):
        if texts:
            seen[plain(texts[0])] = seen.get(plain(texts[0]), 0) + 1
            found[at] = (seen[plain(texts[0])], texts[0])
    return found
