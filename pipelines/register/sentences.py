"""Registers that say it all in one sentence: `AIB LINING TO STAIRS, 3 SQ M, SAMPLE 110 CONTAINS AMOSITE, PAINTED`; or
room and material, with the result in a column of its own: `Kitchen - floor tile, slightly worn`."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from pipelines.register.grids import HEADINGS
from pipelines.register.labels import labelled
from pipelines.register.layout import PROPERTY, RESULTS, Source, at_or_blank
from pipelines.register.reader import Reader
from pipelines.register.shorthand import EXTENT, VOCABULARIES, Shorthand
from pipelines.register.words import recognise_word

SENTENCE = ("product", "identification", "asbestos_types", "damage", "surface")
"""The fields whose words are sought in the whole sentence."""
CONDITIONS = ("damage", "surface")
TEXTS = ("product", "identification", "notes", "position", "room")
"""What a column may be called that says it all."""
SAMPLE = re.compile(
    r"\b(?:sampled?|spl|smp|lab(?: ref)?)\.?\s*(?:no\.?|ref\.?|nr\.?)?\s*:?\s*"
    r"([A-Z]{1,4}[-/.]?\d{1,6}(?:[-/.]\d{1,6})+|[A-Z]{0,4}[-/.]?\d{1,6}[A-Z]?)\b",
    re.I,
)
LIKE = re.compile(r"\b(?:as|like|similar to|same as|see|ref(?:er)?(?: to)?)\s+$", re.I)
PARTS, LAYERS = re.compile(r"[.;]\s+|\n"), re.compile(r"\s+on\s+", re.I)
ROOM = re.compile(r"^(.{2,60}?)\s*(?:\s[-–—]\s|[:;\n]|\s[-–—](?=\w))\s*(\S.*)$", re.S)
ROOM_BY_COMMA = re.compile(r"^([^,]{2,60}),\s*(\S.*)$", re.S)
REFERS = re.compile(
    r"\b(?:as|see|ref(?:er to)?|like|same as|similar to)\s+(?:sample\s+)?([A-Z]{1,4}[-/.]?\d{1,6}[a-z]?)\b", re.I
)
NUMBERED = re.compile(r"(?:^|(?<=\s))\d{1,2}[).]\s+(?=[A-Z])")
"""Before each of several findings: `1) Textured coating. 2) Tiles below.`"""
HOME_FIRST = re.compile(r"^([^,:]{3,60}?)\s*(?:[,:]|\s[-–—])\s+(\S.*)$", re.S)
HOME = re.compile(r"^(?:\d{1,4}[a-z]?\s+\S*[A-Za-z]{2}|(?:[A-Z][\w'’.]*(?:\s+|$)){2,}$)")
"""A home or block before a room: `7 Elm Road`, `Elm Court`."""
DAY_BEHIND = re.compile(
    r"\s*\((?:(?:done|seen|visited|inspected|surveyed)\s+)?(?:on\s+)?"
    r"(\d{1,2}(?:st|nd|rd|th)? [A-Za-z]{3,9} \d{2,4}|\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4})\)\s*$",
    re.I,
)
"""The day of a visit that is not that of the others: `AIB ceiling (20 Nov 2023)`."""
HOME_AND_DAY = ("Address", "Date of inspection")
LEAST_OF_HOMES = 0.8
LEAST_SENTENCES, LEAST_READ, FEWEST_WORDS, LEAST_NUMBERED = 0.6, 0.5, 4, 0.3


@dataclass(frozen=True)
class Sentences:
    """A table one column of which names material, result, extent and condition together."""

    first: int
    last: int
    shared: list[Source]
    column: Source
    shorthand: Shorthand
    labels: Callable[[str], str | None]
    at: Mapping[str | None, int]
    """Where the shared columns stand, by what they hold."""
    has_room: bool
    """Whether the sentence names the room before the material, and its result stands in a column of its own."""
    names_home: bool = False
    """Whether it names the home before the room, as no column does."""
    conditions: Sequence[str] = CONDITIONS
    """What some sentence with a room says of its material's condition."""
    is_numbered = False

    @property
    def is_grid(self) -> bool:
        """Whether results are read from the sentences, as from the cells of a grid."""
        return not self.has_room

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        if self.has_room:
            return [
                *((text, ((at, text),)) for at, text in self.shared),
                *((text, ()) for text in self._named),
                (HEADINGS["room"], (self.column,)),
                (HEADINGS["product"], ()),
                *((HEADINGS[name], ()) for name in (*self.conditions, "extent")),
            ]
        return [
            *((text, ((at, text),)) for at, text in self.shared),
            (HEADINGS["product"], (self.column,)),
            *((HEADINGS[name], ()) for name in (*SENTENCE[1:], "extent", "sample_ref")),
        ]

    @property
    def _named(self) -> Sequence[str]:
        """The headings of what sentences name before the room, and of the day behind some of them, unless a column has
        the days."""
        return HOME_AND_DAY[: (1 if "surveyed_on" in self.at else 2) if self.names_home else 0]

    def is_row(self, only: str) -> bool:
        """Whether a row with this one cell is an item, rather than a line between."""
        return False

    def is_between(self, filled: Sequence[str]) -> bool:
        """Whether a row names the property or visit of the rows below it."""
        return bool(dict(labelled(filled, self.labels)))

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """A line for each material of the sentence that has a result of its own; layers share extent and condition."""
        shared = [at_or_blank(cells, at) for at, _ in self.shared]
        if self.has_room:
            yield self._with_room(shared, at_or_blank(cells, self.column[0]))
            return
        sentence = at_or_blank(cells, self.column[0])
        numbered = [piece.strip() for piece in NUMBERED.split(sentence) if piece.strip()]
        for item in numbered if NUMBERED.match(sentence) else parts(sentence, PARTS, self.shorthand):
            for layer in [item] if NUMBERED.match(sentence) else parts(item, LAYERS, self.shorthand):
                extent = EXTENT.search(SAMPLE.sub(" | ", layer)) or EXTENT.search(SAMPLE.sub(" | ", item))
                yield [*shared, layer, layer, layer, item, item, extent[0].strip() if extent else "", sample_of(layer)]

    def _with_room(self, shared: list[str], sentence: str) -> list[str]:
        """The one line of a sentence that begins with its room; a sample that it refers to stands where none is."""
        visit: list[str] = []
        if self.names_home:
            home, sentence = home_of(sentence, self.shorthand)
            day = DAY_BEHIND.search(sentence) if len(self._named) > 1 else None
            sentence = sentence[: day.start()] if day else sentence
            visit = [home, day[1] if day else ""][: len(self._named)]
        room, rest = room_of(sentence, self.shorthand)
        refers = REFERS.search(rest)
        sample_at = self.at.get("sample_ref")
        if refers and sample_at is not None and shared[sample_at].strip("-–— ") == "":
            shared[sample_at] = f"as {refers[1]}"
        bare = REFERS.sub(" ", rest)
        extent = EXTENT.search(bare)
        words = EXTENT.sub(" ", bare)
        conditions = [words if has(words, name, self.shorthand) else "" for name in self.conditions]
        results = "; ".join(shared[self.at[name]] for name in RESULTS if name in self.at)
        is_unreached = self.shorthand.is_no_access({"identification": results})
        product = "" if is_unreached and not has(words, "product", self.shorthand) else bare.strip(" ,;")
        return [*shared, *visit, room, product, *conditions, extent[0].strip() if extent else ""]


def room_of(sentence: str, shorthand: Shorthand) -> tuple[str, str]:
    """The room that a sentence begins with, and the rest; the whole sentence twice where it begins with none."""
    for pattern in (ROOM, ROOM_BY_COMMA):
        found = pattern.match(sentence)
        if (
            found
            and has(found[1], "room", shorthand)
            and not (pattern is ROOM_BY_COMMA and has(found[1], "product", shorthand))
        ):
            return found[1], found[2]
    if found := ROOM.match(sentence):
        return found[1], found[2]
    return sentence, sentence


def home_of(sentence: str, shorthand: Shorthand) -> tuple[str, str]:
    """The home or block that a sentence names before its room, and the rest; no home where the text has the form of
    none."""
    found = HOME_FIRST.match(sentence)
    if not found or not HOME.match(found[1]) or any(has(found[1], name, shorthand) for name in ("room", "product")):
        return "", sentence
    room, rest = room_of(found[2], shorthand)
    return (found[1], found[2]) if room != rest and has(room, "room", shorthand) else ("", sentence)


def parts(sentence: str, between: re.Pattern[str], shorthand: Shorthand) -> list[str]:
    """The parts of a sentence that each name a material and what is known of it; what names none belongs to the part
    before."""
    starts = [0, *(found.end() for found in between.finditer(sentence))]
    pieces = [sentence[start:end] for start, end in zip(starts, [*starts[1:], len(sentence)], strict=True)]
    found: list[str] = []
    for piece in pieces:
        if found and all(has(part, "product", shorthand) and is_told(part, shorthand) for part in (found[-1], piece)):
            found.append(piece)
        else:
            found = [*found[:-1], found[-1] + piece] if found else [piece]
    return [part.strip() for part in found]


def is_told(part: str, shorthand: Shorthand) -> bool:
    """Whether a part says what was found, or names a sample."""
    return SAMPLE.search(part) is not None or has(part, "identification", shorthand)


def has(text: str, name: str, shorthand: Shorthand) -> bool:
    """Whether words of a field stand in a text."""
    vocabulary = VOCABULARIES[name]
    bare = SAMPLE.sub(" ", text)
    return recognise_word(vocabulary, bare, shorthand.terms.get(vocabulary, {}))[0] is not None


def sample_of(part: str) -> str:
    """The sample that a part names, as a reference where it only refers to one."""
    found = SAMPLE.search(part)
    if not found:
        return ""
    return f"as {found[1]}" if LIKE.search(part[: found.start()]) else found[1]


def _is_numbered(named: Sequence[str | None], below: Sequence[Sequence[str]]) -> bool:
    """Whether the column of materials lists findings by number, with what was found of each."""
    at = named.index("product")
    values = [cell for row in below if (cell := at_or_blank(row, at))]
    return sum(1 for value in values if NUMBERED.match(value)) >= max(1, LEAST_NUMBERED * len(values))


def find(
    labels: Sequence[Sequence[str]],
    index: int,
    below: Sequence[Sequence[str]],
    reader: Reader,
    shorthand: Shorthand,
) -> Sentences | None:
    """The table with such a column, where no column has the material by itself."""
    named = [next((name for text in texts if (name := reader.field_of(text))), None) for texts in labels]
    if "product" in named and not _is_numbered(named, below):
        return None
    has_results = any(name in RESULTS for name in named)
    for at, texts in enumerate(labels):
        values = [cell for row in below if (cell := at_or_blank(row, at))]
        long = [value for value in values if len(value.split()) >= FEWEST_WORDS]
        if not texts or named[at] not in (None, *TEXTS) or not long:
            continue
        told = [value for value in long if has(value, "product", shorthand)]
        n_results = sum(is_told(value, shorthand) for value in told)
        names_home = _names_home(told, named, shorthand)
        is_room_apart = "room" in (*named[:at], *named[at + 1 :])
        has_room = has_results and not is_room_apart and _names_room(told, names_home, shorthand)
        is_told_here = named[at] != "room" and len(told) >= LEAST_SENTENCES * len(values)
        is_told_here = is_told_here and n_results >= LEAST_READ * len(told)
        if is_told_here or (has_room and len(told) >= LEAST_READ * len(values)):
            shared = [(column, reader.first_known(of)) for column, of in enumerate(labels) if of and column != at]
            held = {named[column]: n for n, (column, _) in reversed(list(enumerate(shared)))}
            table = Sentences(index, index, shared, (at, texts[0]), shorthand, reader.context_of, held, False)
            return table if is_told_here else _with_rooms(table, names_home, values)
    return None


def _names_home(told: Sequence[str], named: Sequence[str | None], shorthand: Shorthand) -> bool:
    """Whether most sentences name the home before the room, where no column does."""
    if not set(named).isdisjoint(PROPERTY):
        return False
    return sum(home_of(sentence, shorthand)[0] != "" for sentence in told) >= LEAST_OF_HOMES * len(told)


def _names_room(told: Sequence[str], names_home: bool, shorthand: Shorthand) -> bool:
    """Whether sentences begin with the room, or with the home and the room."""
    rest = [home_of(sentence, shorthand)[1] for sentence in told] if names_home else told
    return sum(has(room_of(one, shorthand)[0], "room", shorthand) for one in rest) >= LEAST_READ * len(told)


def _with_rooms(table: Sentences, names_home: bool, values: Sequence[str]) -> Sentences:
    """A table whose sentences begin with the room, with a column for each condition that some of them says."""
    conditions = [name for name in CONDITIONS if any(has(value, name, table.shorthand) for value in values)]
    return replace(table, has_room=True, names_home=names_home, conditions=conditions)
