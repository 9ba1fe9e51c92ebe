"""Word-processed tables of few columns, each of which says several things: `Location and description`, `Extent and
condition`, `Sample and result`, on lines, in sentences or after colons. Each cell is taken apart into what it says."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pipelines.register import labels, layout
from pipelines.register.grids import FEWEST_COLUMNS, HEADINGS
from pipelines.register.layout import Source, at_or_blank
from pipelines.register.phrases import SUSPECT
from pipelines.register.reader import Reader
from pipelines.register.sentences import has
from pipelines.register.shorthand import VOCABULARIES, Shorthand
from pipelines.register.words import recognise_word

FIELDS = ("room", "product", "extent", "damage", "surface", "sample_ref", "identification")
"""What the lines say, in the order of their columns."""
WHAT = {"room", "product"}
STATE = {"extent", "damage", "surface"}
FOUND = {"sample_ref", "identification", "asbestos_types"}
UNSEEN = ("no_access", "not_suspect")
"""Results that a description tells by itself, where the result is none of something found or presumed."""
OPEN = (None, *UNSEEN)
NOTHING, DASHES = re.compile(r"^\W*(?:not sampled|no samples?(?: taken)?|n/?a|nil)?\W*$", re.I), " .–—-"
BUT = re.compile(r"\b(?:except|apart from|other than|but|save for|besides)\b", re.I)
PARTS = re.compile(r"\s*(?:[,/;&+\n]|\band\b)\s*", re.I)
HOW_MUCH = re.compile(r"^how (?:much|many)$", re.I)
SENTENCES = re.compile(r"(?<!\bsq)(?<!\blin)(?<!\bno)(?<!\basb)[.;]\s+|[.;]?\s*\n\s*|[.;]$", re.I)
LABEL = re.compile(r"^(?:extent|quantity|qty|amount|damage|condition|surface(?: treatment)?)\s*[:=]?\s+(?=\S)", re.I)
DAMAGE_LABEL = re.compile(r"^(?:damage|condition)\s*[:=]?\s+(?=\S)", re.I)
SURFACE_LABEL = re.compile(r"^surface(?: treatment)?\s*[:=]?\s+(?=\S)", re.I)
SCORED = re.compile(r"\bdamage\s*[:=]?\s*([0-3])\b", re.I)
UNIT = (
    r"(?:m2|m²|sq\.? ?m(?:etres?)?|square metres?|sqm|lin(?:ear|\.)? ?m(?:etres?)?|lm|m(?:etres?)?|nr|no|each|ea|off)"
    r"(?![\w²])\.?(?: run\b)?"
)
NUMBER = r"(?:approx\.?|about|some|circa|c\.|[~<>])?\s*\d+(?:[.,]\d+)?"
EXTENT = re.compile(
    rf"(?<![\w.,/])(?:\d+(?:\.\d+)?\s*m?\s*[x×]\s*\d+(?:\.\d+)?\s*m\b|{NUMBER}\s*{UNIT})(?:\s*in all\b)?", re.I
)
SAMPLE = r"(?:samples?\s*(?:no\.?)?\s*)?([A-Z]{1,4}[-/.]?\d{1,6}[a-z]?|\d{1,4}/\d{1,4})"
SAMPLED = re.compile(rf"^{SAMPLE}\s*(?:\(([^()]*)\)|(?-i:([a-z]+))(?=\s*[:–—-]))?(?:\s*[:–—.,-]\s*|\s+|$)", re.I)
REFERS = re.compile(rf"^(?:as|see|same as)\s+{SAMPLE}\b", re.I)
INSIDE = re.compile(rf"\(\s*{SAMPLE}\s*\)", re.I)
NOT_SAMPLED = re.compile(r"^not sampled\s*[.,;:–—-]\s*(?=\S)", re.I)
HEADS = (
    re.compile(r"^([^\n]{2,60}?)\.?\s*\n\s*(\S.*)$", re.S),
    re.compile(r"^([^:;\n]{2,60}?)\s*:\s+(\S.*)$", re.S),
    re.compile(r"^([^.\n]{2,40})\.\s+(\S.*)$", re.S),
)
"""How a room is parted from what is in it: by a line, a colon, a full stop."""
LAYERS = re.compile(r",?\s+(?:with|and|on|over)\s+(?:the\s+)?", re.I)
SAME_AGAIN = re.compile(r"(?:^|[\s,])(?:ditto|do\.|-do-)\s*$", re.I)
IN_BRACKETS = re.compile(r"\s*\([^()]*\)")
WITH_CODE = re.compile(r"^[^.\n]*\d[^.\n]*\b[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}$")
"""An address that ends with its postcode."""
WITHIN = re.compile(r"\b(?:cupboard|cupbd|cpd|cpbd|store|riser|duct|larder|pantry)\b", re.I)
"""What stands within another room: `Hall, meter cupboard`."""
FIGURE = re.compile(r"^(\d+(?:\.\d+)?)\s*([a-z].*)$", re.I)
EACH = re.compile(r"\s*(?:,|\band\b|&)\s*", re.I)


@dataclass(frozen=True)
class Stacked:
    """A table whose columns each say several things of an item."""

    first: int
    last: int
    shared: list[Source]
    columns: Mapping[Source, frozenset[str]]
    """What each of the columns that are taken apart says."""
    shorthand: Shorthand
    labels: Callable[[str], str | None]
    """Which field a label above a table means."""
    is_numbered = False
    is_grid = False

    @property
    def headings(self) -> list[tuple[str, tuple[Source, ...]]]:
        """The heading of each column of the lines, and the columns of the file that it stands for."""
        behind = {name: tuple(at for at, of in self.columns.items() if name in of) for name in FIELDS}
        return [
            *((HEADINGS[name], behind[name]) for name in FIELDS),
            *((text, ((at, text),)) for at, text in self.shared),
        ]

    def is_row(self, only: str) -> bool:
        """Whether a row of one cell is an item told in a sentence: what was found of a material, or of a room."""
        names_room = has(only, "room", self.shorthand)
        if self._unseen(only):
            return names_room
        return has(only, "product", self.shorthand) and INSIDE.search(only) is not None

    def is_between(self, filled: Sequence[str]) -> bool:
        """Whether a row names the property or visit of the rows below it."""
        return bool(dict(labels.labelled(filled, self.labels))) or any(map(WITH_CODE.search, filled))

    def lines(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """The lines of a row: one, or one for each of several samples, or rooms that have an extent each."""
        shared = [at_or_blank(cells, at) for at, _ in self.shared]
        filled = [cell.strip() for cell in cells if cell.strip()]
        for said in self._sentence(filled[0]) if len(filled) == 1 else self._items(cells):
            yield [*(said.get(name, "") for name in FIELDS), *shared]

    def _sentence(self, text: str) -> Iterator[dict[str, str]]:
        """What a row of one sentence says."""
        if unseen := self._unseen(text):
            head = re.split(r":\s", text)[0]
            room = head if has(head, "room", self.shorthand) else text
            yield {"room": room, "identification": unseen}
            return
        sample = INSIDE.search(text)
        extent = EXTENT.search(text)
        said = {"room": text, "product": text, "identification": text, **self._state(text)}
        yield {
            **said,
            "extent": extent[0].strip(" .") if extent else "",
            "sample_ref": sample[1] if sample else "",
        }

    def _items(self, cells: Sequence[str]) -> Iterator[dict[str, str]]:
        """What a row of several cells says of its items."""
        what, state, found = (self._cell(cells, of) for of in (WHAT, STATE, FOUND))
        room, product = self._what(cells)
        told = self._result(found)
        extents = [one[0].strip(" .") for one in EXTENT.finditer(state)]
        said = {"room": room, "product": product, "extent": amount(state), **self._state(state), **told}
        is_open = not told["sample_ref"] and self._term("identification", told["identification"].strip(DASHES)) in OPEN
        is_open = is_open or NOTHING.match(told["identification"]) is not None
        unseen = self._unseen(f"{product}\n{state}" if state != what else product)
        if unseen and is_open:
            said |= {"product": "", "extent": "", "identification": unseen}
        elif self._term("identification", told["identification"]) in UNSEEN and not has(
            product, "product", self.shorthand
        ):
            said["product"] = ""
        if layers := list(self._layers(found, product)):
            yield from (said | layer for layer in layers)
            return
        rooms = EACH.split(room)
        if len(rooms) > 1 and len(rooms) == len(extents):
            yield from (said | {"room": one, "extent": of} for one, of in zip(rooms, extents, strict=True))
            return
        yield said

    def _cell(self, cells: Sequence[str], of: set[str]) -> str:
        """What the columns say that hold some fields."""
        return "\n".join(
            cell for (at, _), held in self.columns.items() if held & of and (cell := at_or_blank(cells, at))
        )

    def _what(self, cells: Sequence[str]) -> tuple[str, str]:
        """Room and material of a row; what stands behind a material's extent says no more of it."""
        room_at = next((at for (at, _), held in self.columns.items() if held & WHAT == {"room"}), None)
        text = next((at_or_blank(cells, at) for (at, _), held in self.columns.items() if "product" in held), "")
        room, product = self._room_of(text) if room_at is None else (at_or_blank(cells, room_at), text)
        if any("product" in held and held & STATE for held in self.columns.values()):
            amount = EXTENT.search(product)
            product = (product[: amount.start()] if amount else product).strip(" ,;.\n")
        return room, "ditto" if SAME_AGAIN.search(product) else product

    def _room_of(self, text: str) -> tuple[str, str]:
        """The room that a description begins with, and the rest; the whole for both where nothing parts them."""
        for pattern in HEADS:
            if (found := pattern.match(text)) and not has(found[1], "identification", self.shorthand):
                head, rest = found[1], found[2].strip()
                is_turned = self._is_only(head, "product") and self._is_only(rest, "room")
                return (rest, head) if is_turned else self._bare_room(head, rest)
        is_room = has(text, "room", self.shorthand) and not has(text, "product", self.shorthand)
        return text, "" if is_room else text

    def _is_only(self, text: str, name: str) -> bool:
        """Whether a text has words of one of room and material, and none of the other."""
        return {one for one in WHAT if has(text, one, self.shorthand)} == {name}

    def _bare_room(self, head: str, product: str) -> tuple[str, str]:
        """Room and material, to which belongs what stands behind the room and is none: `Kitchen, floor`."""
        bare = IN_BRACKETS.sub("", head)
        first, *rest = bare.split(", ")
        is_part = rest and has(first, "room", self.shorthand) and not has(", ".join(rest), "room", self.shorthand)
        if len(rest) == 1 and WITHIN.search(rest[0]) and not WITHIN.search(first):
            return rest[0], product
        return (first, f"{', '.join(rest)}: {product}") if is_part else (bare, product)

    def _state(self, text: str) -> dict[str, str]:
        """Condition and surface, each by its label or in words of its own."""
        said: dict[str, str] = {}
        pieces = [piece.strip() for piece in SENTENCES.split(EXTENT.sub(" ", text)) if piece and piece.strip()]
        for name, label in (("damage", DAMAGE_LABEL), ("surface", SURFACE_LABEL)):
            labelled = next((piece[found.end() :] for piece in pieces if (found := label.match(piece))), None)
            bare = [piece for piece in pieces if not LABEL.match(piece)]
            own = labelled or "; ".join(piece for piece in bare if has(piece, name, self.shorthand))
            said[name] = own.strip(" ,;.")
        if scored := SCORED.search(text):
            said["damage"] = scored[1]
        return said

    def _result(self, text: str) -> dict[str, str]:
        """The sample and the result; a sample of its own stands apart, one that is referred to in both."""
        bare = NOT_SAMPLED.sub("", text)
        if found := REFERS.match(bare):
            return {"sample_ref": f"as {found[1]}", "identification": bare}
        found = SAMPLED.match(bare)
        if not found:
            return {"sample_ref": "", "identification": bare}
        return {"sample_ref": found[1], "identification": bare[found.end() :].strip() or bare}

    def _layers(self, text: str, product: str) -> Iterator[dict[str, str]]:
        """What each of several samples of one cell found, and the layer of the material that it is of."""
        lines = [line.strip() for line in text.split("\n") if line.strip()]
        samples = [SAMPLED.match(line) for line in lines]
        if len(lines) < 2 or not all(samples) or len({found[1] for found in samples if found}) < len(lines):
            return
        if not any(found[2] or found[3] for found in samples if found):
            references = ", ".join(found[1] for found in samples if found)
            yield {"sample_ref": references, "identification": "; ".join(lines)}
            return
        pieces = LAYERS.split(product)
        for line, found in zip(lines, samples, strict=True):
            layer = (found[2] or found[3] or "") if found else ""
            named = next((piece for piece in pieces if layer and layer.lower() in piece.lower()), layer or product)
            yield self._result(line) | {"product": named}

    def _unseen(self, text: str) -> str:
        """The first sentence of a text that says that nobody could look, or, where none says of something that it is
        suspect, that nothing is."""
        pieces = [piece for piece in re.split(r"[.;:]\s+|\n", text) if piece.strip() and not BUT.search(piece)]
        terms = [self._term("identification", piece) for piece in pieces]
        among = [
            piece
            for piece, term in zip(pieces, terms, strict=True)
            if term == "no_access" or (term == "not_suspect" and not SUSPECT.intersection(terms))
        ]
        return next(iter(among), "")

    def _term(self, name: str, text: str) -> str | None:
        vocabulary = VOCABULARIES[name]
        return recognise_word(vocabulary, text, self.shorthand.terms.get(vocabulary, {}))[0]


def amount(text: str) -> str:
    """The first extent of a text, with those of the same unit right behind it: `11 and 9 m2` of `11m2 and 9m2`."""
    extents = list(EXTENT.finditer(text))
    together = extents[:1]
    for before, one in pairwise(extents):
        if not EACH.fullmatch(text[before.end() : one.start()]) or before is not together[-1]:
            break
        together.append(one)
    figures = [FIGURE.match(one[0].strip()) for one in together]
    units = {found[2].strip(" .").lower() for found in figures if found}
    if len(together) < 2 or len(units) > 1 or None in figures:
        return extents[0][0].strip(" .") if extents else ""
    return f"{' and '.join(found[1] for found in figures if found)} {units.pop()}"


def fields_named(label: str, reader: Reader) -> frozenset[str]:
    """The fields that the parts of a heading name, whole or each."""
    parts = [part for part in PARTS.split(label) if part.strip()]
    named = {name for part in parts if (name := "extent" if HOW_MUCH.match(part) else reader.field_of(part))}
    return frozenset(named or {name for name in (reader.field_of(label),) if name})


def find(
    labels: Sequence[Sequence[str]],
    index: int,
    below: Sequence[Sequence[str]],
    reader: Reader,
    shorthand: Shorthand,
) -> Stacked | None:
    """The table whose headings name where and what in one column, and how much and in what state in one."""
    if sum(map(bool, labels)) < FEWEST_COLUMNS or any(
        len(texts[0]) > layout.LONGEST_LABEL for texts in labels if texts
    ):
        return None
    named = {(at, texts[0]): fields_named(texts[0], reader) for at, texts in enumerate(labels) if texts}
    columns = {source: of for source, of in named.items() if of & (WHAT | STATE | FOUND)}
    held = [name for of in columns.values() for name in of if name in FIELDS]
    is_stacked = any({"extent", "damage"} <= of for of in columns.values()) and any(
        of & FOUND for of in columns.values()
    )
    is_together = any(of >= WHAT or {"product", "extent", "damage"} <= of for of in columns.values())
    if not (is_stacked and is_together) or len(held) > len(set(held)) or not below or "room" not in held:
        return None
    shared = [source for source in named if source not in columns]
    return Stacked(index, index, shared, columns, shorthand, reader.context_of)
