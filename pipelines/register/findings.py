"""Tables of two visits whose cells say in words what each found: `Found last time | Found today`, with `sample S1
amosite, good` beside `same`, or `edge broken`. Each cell is taken apart into result, condition and surface."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from pipelines.register.grids import HEADINGS
from pipelines.register.layout import Source, at_or_blank
from pipelines.register.meanings import UNCHANGED
from pipelines.register.reader import ROOM_AND_PRODUCT, Reader
from pipelines.register.sentences import has, is_told, room_of, sample_of
from pipelines.register.shorthand import EXTENT, Shorthand
from pipelines.register.visit_columns import OF_NOW, without_visit

SAID = ("identification", "damage", "surface")
"""What a cell may say, each in words of its own."""
LEAST_READ, FEWEST_READ = 0.5, 2


@dataclass(frozen=True)
class Findings:
    """A table with a column of words for this visit and one for the last; one of room and material, if it has one."""

    first: int
    last: int
    shared: list[Source]
    now: Source
    before: Source
    place: Source | None
    shorthand: Shorthand
    is_grid = True
    is_numbered = False

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        of_place = ("room", "product", "extent") if self.place else ()
        sources: dict[str, tuple[Source, ...]] = {"room": (self.place,)} if self.place else {}
        of_visits = [
            (f"{when} {HEADINGS[name]}", (source,) if name == SAID[0] else ())
            for name in SAID
            for when, source in (("Now", self.now), ("Last", self.before))
        ]
        return [
            *((text, ((at, text),)) for at, text in self.shared),
            *((HEADINGS[name], sources.get(name, ())) for name in of_place),
            *of_visits,
            (HEADINGS["sample_ref"], ()),
        ]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell is an item, rather than a line between."""
        return False

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """The one line of a row; a sample of the last visit stands where this one took none."""
        shared = [at_or_blank(cells, at) for at, _ in self.shared]
        now, before = (at_or_blank(cells, at) for at, _ in (self.now, self.before))
        of_visits = [self._said(name, cell) for name in SAID for cell in (now, before)]
        yield [*shared, *self._of_place(cells), *of_visits, sample_of(now) or sample_of(before)]

    def _of_place(self, cells: Sequence[str]) -> list[str]:
        """Room, material and extent, where one column has them."""
        if not self.place:
            return []
        sentence = at_or_blank(cells, self.place[0])
        room, rest = room_of(sentence, self.shorthand)
        extent = EXTENT.search(rest)
        is_room_alone = room == rest and not has(rest, "product", self.shorthand)
        return [room, "" if is_room_alone else rest, extent[0].strip() if extent else ""]

    def _said(self, name: str, cell: str) -> str:
        """A cell, if it says something of a field, or that nothing has changed."""
        is_said = is_told(cell, self.shorthand) if name == SAID[0] else has(cell, name, self.shorthand)
        return cell if is_said or UNCHANGED.match(cell) else ""


def find(
    labels: Sequence[Sequence[str]],
    index: int,
    below: Sequence[Sequence[str]],
    reader: Reader,
    shorthand: Shorthand,
) -> Findings | None:
    """The table of such columns: of equal words but for those of a visit, most cells of which say several things."""
    visits = {at: without_visit(texts[0]) for at, texts in enumerate(labels) if texts}
    now, before = (
        {
            text.lower(): at
            for at, text in visits.items()
            if text != labels[at][0] and bool(OF_NOW.search(labels[at][0])) is is_now
        }
        for is_now in (True, False)
    )
    both = [text for text in now if text in before]
    if len(both) != 1 or reader.field_of(both[0]) not in (None, "identification", "notes"):
        return None
    columns = now[both[0]], before[both[0]]
    said = [cell for row in below for at in columns if (cell := at_or_blank(row, at)) and not UNCHANGED.match(cell)]
    n_read = sum(_says_several(cell, shorthand) for cell in said)
    if n_read < max(FEWEST_READ, LEAST_READ * len(said)):
        return None
    place = next((at for at, texts in enumerate(labels) if texts and _is_of_place(texts, reader.together)), None)
    shared = [
        (at, reader.first_known(texts)) for at, texts in enumerate(labels) if texts and at not in (*columns, place)
    ]
    at_now, at_before = ((at, labels[at][0]) for at in columns)
    of_place = None if place is None else (place, labels[place][0])
    return Findings(index, index, shared, at_now, at_before, of_place, shorthand)


def _says_several(cell: str, shorthand: Shorthand) -> bool:
    """Whether a cell says more than one thing of an item, so that no field could hold it."""
    said = (is_told(cell, shorthand), bool(sample_of(cell)), *(has(cell, name, shorthand) for name in SAID[1:]))
    return sum(said) > 1


def _is_of_place(texts: Sequence[str], together: Callable[[str], Sequence[str]]) -> bool:
    return set(together(texts[0])) == ROOM_AND_PRODUCT
