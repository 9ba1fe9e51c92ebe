"""What one cell says in a surveyor's shorthand: `P/2.5m2/S003` is a result, an extent and a sample."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from pipelines.register.legends import Key
from pipelines.register.words import recognise_word

EXTENT = re.compile(
    r"(?<![\w.,])(?:[~<>]|c\.|approx\.?|circa)?\s*\d+(?:[.,]\d+)?\s*"
    r"(?:m2|m²|sq\.? ?m(?:etres?)?|sqm|lin\.? ?m(?:etres?)?|lm|m(?:etres?)?|nr|no|each|ea)\b\.?²?",
    re.I,
)
SAMPLE = re.compile(
    r"(?:\b(?:as|see|ref|same as|x-?ref)\s+)?"
    r"\b(?:(?:[A-Z]{1,2}S|S|SA|BS)[-/. ]?\d{1,6}|[A-Z]{1,4}[-/.]?\d{3,6})[a-z]?\b"
)
BETWEEN = re.compile(r"\s*[/;,|\n]+\s*|\s+[-–—]\s+")
TICKS = frozenset(("✓", "✔", "√", "•", "●", "y", "yes", "present", "found"))
CROSSES = frozenset(("x", "✗", "✘", "×"))
NOTHING = frozenset(
    ("", "-", "–", "—", "--", "n", "no", "none", "nil", "n/a", "not present", "none seen", "none present")
)
MEANS = re.compile(r"(?:^|[\s(])([A-Za-z✓✗+*]{1,4}\d?)\s*(?:=|:|\s[-–]\s)\s*([^=]*[A-Za-z]{3}[^=]*)$")
VOCABULARIES = {
    "identification": "identification",
    "asbestos_types": "asbestos_type",
    "damage": "damage",
    "surface": "surface",
    "product": "product",
    "room": "place",
}
"""What a piece may be, the likeliest first, and the vocabulary that has its words."""
MARKS = " /;,|()-–—"
SAMPLE_LIKE = re.compile(r"\b[A-Z]{1,4}[-/.]?\d{1,6}[a-z]?\b", re.I)


@dataclass(frozen=True)
class Shorthand:
    """How the cells of a sheet are read: words by vocabulary, the keys of its workbook, and what marks mean in it."""

    terms: Mapping[str, Mapping[str, str]]
    keys: Sequence[Key] = ()
    is_ticked: bool = False
    """Whether the sheet has ticks, so that its crosses say that there is none."""
    among: Sequence[str] = tuple(VOCABULARIES)
    """Which fields a piece may be of."""

    def is_nothing(self, cell: str) -> bool:
        """Whether a cell says that there is none of it, or nothing at all."""
        mark = cell.strip().lower()
        is_code = any(cell.strip() in key.meanings for key in self.keys)
        return not is_code and (mark in NOTHING or (self.is_ticked and mark in CROSSES))

    def read(self, cell: str) -> dict[str, str]:
        """What a cell says by field; `notes` has what is none of it. A tick says no more than that it is there."""
        mark = cell.strip()
        if mark.lower() in TICKS | CROSSES and self._decoded(mark) == mark:
            return {}
        if name := self._known(mark):
            return {name: self._decoded(mark)}
        said: dict[str, str] = {}
        rest = mark
        for name, pattern in (("extent", EXTENT), ("sample_ref", SAMPLE)):
            if found := pattern.search(rest):
                said[name] = found[0].strip()
                rest = f"{rest[: found.start()]}\n{rest[found.end() :]}"
        for name, piece in self._pieces(rest):
            said[name] = f"{said[name]} {piece}" if name in said else piece
        if "sample_ref" in said:
            said.setdefault("identification", said["sample_ref"])
        return said

    def _pieces(self, text: str) -> Iterator[tuple[str, str]]:
        """The pieces of a text by field: what marks part, and where all of its words are known, each of them."""
        for written in BETWEEN.split(text):
            piece = written.strip(MARKS)
            words = piece.split()
            if not piece:
                continue
            if not self._known(piece) and len(words) > 1 and all(map(self._known, words)):
                yield from ((self._known(word) or "notes", self._decoded(word)) for word in words)
            else:
                yield self._known(piece) or self._within(piece) or "notes", self._decoded(piece)

    def _decoded(self, piece: str) -> str:
        return next((meaning for key in self.keys if (meaning := key.meanings.get(piece))), piece)

    def _known(self, written: str) -> str | None:
        """The field that a vocabulary knows a piece, or the code that it is, as a word of."""
        piece = self._decoded(written.strip(MARKS))
        if piece != written.strip(MARKS):
            return self._found(piece, ("known",)) or self._within(piece)
        return self._found(piece, ("known",))

    def _within(self, piece: str) -> str | None:
        """The field of which a known word stands in a piece."""
        return None if SAMPLE_LIKE.search(piece) else self._found(piece, ("within", "several"))

    def _found(self, piece: str, ways: Sequence[str]) -> str | None:
        for name in self.among:
            term, how = recognise_word(VOCABULARIES[name], piece, self.terms.get(VOCABULARIES[name], {}))
            if term and how in ways:
                return name
        return None


def key_within(rows: Iterable[Sequence[str]]) -> list[Key]:
    """The codes that a line of the sheet itself explains, as `P = presumed; N = not detected; blank = not seen`."""
    found: list[Key] = []
    for cells in rows:
        filled = [cell.strip() for cell in cells if cell.strip()]
        parts = [part for cell in filled for part in re.split(r"[;|\n]" if ";" in cell else r"[,|\n]", cell)]
        pairs = [said.groups() for part in parts if (said := MEANS.search(part.strip(" .()")))]
        if len(pairs) > 1 and len(filled) <= len(pairs) + 1:
            found.append(Key("", {code: meaning.strip() for code, meaning in pairs}))
    return found
