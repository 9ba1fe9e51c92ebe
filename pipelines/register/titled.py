"""Homes in a row each, with groups of columns under the titles of what they are about: `CEILINGS`, `BOILER / FLUE`,
`SOFFIT`, and below each title `Rooms | Material | Result | m2 | Cond`, worded as each group needs it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pipelines.register.grids import HEADINGS
from pipelines.register.labels import CONTINUED
from pipelines.register.layout import PROPERTY, Source, at_or_blank
from pipelines.register.lines import WHOLE_HOME
from pipelines.register.reader import Reader
from pipelines.register.sentences import has
from pipelines.register.shorthand import UNREACHED, Shorthand
from pipelines.register.words import plain, recognise_word

FIELDS = ("room", "product", "identification", "extent", "damage", "surface", "sample_ref")
"""What the columns of a group may say, and the lines."""
ALWAYS = {"room", "surface"}
"""What a title, or the words of a material, may say where no column does."""
ITEM = {"product", "identification"}
FEWEST_GROUPS, FEWEST_TITLES_KNOWN = 3, 2
SUBJECTS = ("place", "product", "element")
"""What a title may name."""
UNSEEN = (*UNREACHED, "not_suspect")
"""Results that stand where room or material would, if nothing else was found."""
FIGURE = re.compile(
    r"^((?:abt|about|approx|circa|c|~)?\.?\s*\d+(?:\.\d+)?)(\s*(?:abt|about|approx|circa|est|or so)?\.?)$", re.I
)


@dataclass(frozen=True)
class Group:
    """The columns under one title by their fields."""

    room: str
    """The title, where it names a room and no column does."""
    columns: Mapping[str, Source]
    unit: str
    """What the heading of the extent says of its figures: `lin m`."""


@dataclass(frozen=True)
class Titled:
    """A table with a row for each home and groups of columns under titles."""

    first: int
    last: int
    shared: list[Source]
    groups: list[Group]
    shorthand: Shorthand
    naming: Sequence[int]
    """Which of the shared columns name the home."""
    before: list[list[str]] = field(default_factory=list)
    """What the row before shares."""
    is_grid = False
    is_numbered = True

    @property
    def said(self) -> list[str]:
        """The fields that some group has a column for; room and surface always."""
        told = {name for group in self.groups for name in group.columns} | ALWAYS
        return [name for name in FIELDS if name in told]

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        behind = {
            name: tuple(group.columns[name] for group in self.groups if name in group.columns) for name in self.said
        }
        return [
            *((text, ((at, text),)) for at, text in self.shared),
            *((HEADINGS[name], behind[name]) for name in self.said),
        ]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell is about a home, rather than a line between."""
        return False

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """A line for each group that says something, or one of the whole home where nobody could get in."""
        shared = self._continued([at_or_blank(cells, at) for at, _ in self.shared])
        told = [(group, said) for group in self.groups if (said := self._said(group, cells))]
        found = [self._item(group, said) for group, said in told if not self._is_nothing(said)]
        alone = list(told[0][1].values()) if len(told) == 1 else []
        if len(alone) == 1 and self._result(alone[0]) in UNREACHED:  # written over all groups
            found = [{"room": WHOLE_HOME, "identification": alone[0]}]
        for said in found or [{}]:
            yield [*shared, *(said.get(name, "") for name in self.said)]

    def _continued(self, shared: list[str]) -> list[str]:
        """What a row shares; one that goes on with the home above, as `(6 Elm Road cont.)`, has that home's name."""
        at = next((at for at, cell in enumerate(shared) if cell and CONTINUED.search(cell)), None)
        if at is not None and self.before and plain(CONTINUED.sub("", shared[at])) in plain(self.before[0][at]):
            shared = [
                name if nth in self.naming else cell
                for nth, (cell, name) in enumerate(zip(shared, self.before[0], strict=True))
            ]
        self.before[:] = [shared]
        return shared

    def _said(self, group: Group, cells: Sequence[str]) -> dict[str, str]:
        """The filled cells of a group."""
        return {name: cell for name, (at, _) in group.columns.items() if (cell := at_or_blank(cells, at))}

    def _is_nothing(self, said: Mapping[str, str]) -> bool:
        """Whether all cells of a group say that there is none of it."""
        return all(map(self.shorthand.is_nothing, said.values()))

    def _result(self, text: str) -> str | None:
        return recognise_word("identification", text, self.shorthand.terms.get("identification", {}))[0]

    def _item(self, group: Group, cells: Mapping[str, str]) -> dict[str, str]:
        """What a group says of its item; that nobody could look, or nothing was suspect, may stand as its material."""
        said = {name: cell for name, cell in cells.items() if not self.shorthand.is_nothing(cell)}
        for name in ("room", "product"):
            text = said.get(name, "")
            is_known = has(text, "product", self.shorthand) and self._result(text) not in UNSEEN
            if not said.get("identification") and self._result(text) in UNSEEN and not is_known:
                said |= {name: "", "identification": text}
        if figure := FIGURE.match(said.get("extent", "")):
            said["extent"] = f"{figure[1]} {group.unit}{figure[2]}".strip()
        if "surface" not in group.columns and has(said.get("product", ""), "surface", self.shorthand):
            said["surface"] = said["product"]
        return {**said, "room": said.get("room") or group.room}


def find(
    titles: Sequence[str], labels: Sequence[str], index: int, reader: Reader, shorthand: Shorthand
) -> Titled | None:
    """The table of a heading below a row of titles, if several of them stand over a material and its result each."""
    starts = [at for at, title in enumerate(titles) if title.strip()]
    if len(starts) < FEWEST_GROUPS:
        return None
    ends = [*starts[1:], max(len(labels), starts[-1] + 1)]
    spans = [_columns(labels, start, end, reader) for start, end in zip(starts, ends, strict=True)]
    at_titles = [titles[start].strip() for start in starts]
    named = [(title, columns) for title, columns in zip(at_titles, spans, strict=True) if columns.keys() >= ITEM]
    n_known = sum(any(has_term(title, name, reader) for name in SUBJECTS) for title, _ in named)
    if len(named) < FEWEST_GROUPS or n_known < FEWEST_TITLES_KNOWN:
        return None
    groups = [_group(title, columns, reader) for title, columns in named]
    taken = {at for group in groups for at, _ in group.columns.values()}
    shared = [(at, text) for at, text in enumerate(labels) if text.strip() and at not in taken]
    naming = [nth for nth, (_, text) in enumerate(shared) if reader.field_of(text) in PROPERTY]
    return Titled(index - 1, index, shared, groups, shorthand, naming)


def _columns(labels: Sequence[str], start: int, end: int, reader: Reader) -> dict[str, Source]:
    """The columns under a title by the field that each names first; a unit is an extent."""
    found: dict[str, Source] = {}
    for at in range(start, min(end, len(labels))):
        text = labels[at].strip()
        name = reader.field_of(text) or ("extent" if has_term(text, "extent_unit", reader) else None)
        if name in FIELDS:
            found.setdefault(name, (at, text))
    return found


def _group(title: str, columns: Mapping[str, Source], reader: Reader) -> Group:
    heading = columns["extent"][1] if "extent" in columns else ""
    is_unit = plain(heading) in reader.contents.terms.get("extent_unit", {}) and reader.field_of(heading) is None
    is_room = "room" not in columns and has_term(title, "place", reader)
    return Group(title if is_room else "", columns, heading if is_unit else "")


def has_term(text: str, vocabulary: str, reader: Reader) -> bool:
    """Whether a text is, or has within it, a word of a vocabulary."""
    return recognise_word(vocabulary, text, reader.contents.terms.get(vocabulary, {}))[0] is not None
