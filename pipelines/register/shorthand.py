"""What one cell says in a surveyor's shorthand: `P/2.5m2/S003` is a result, an extent and a sample."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from pipelines.register.key import Key
from pipelines.register.order import Order, read_in_order
from pipelines.register.phrases import NOT_SUSPECT
from pipelines.register.spellings import respelt
from pipelines.register.words import recognise_word

EXTENT = re.compile(
    r"(?<![\w.,])(?:[~<>]|c\.|approx\.?|circa)?\s*\d+(?:[.,]\d+)?\s*"
    r"(?:m2|m²|sq\.? ?m(?:etres?)?|sqm|lin\.? ?m(?:etres?)?|lm|m(?:etres?)?|nr|no|each|ea)\b\.?²?",
    re.I,
)
SAMPLE = re.compile(
    r"(?:\b(?:as|see|ref|same as|x-?ref)\s+)?"
    r"\b(?:(?:[A-Z]{1,2}S|S|SA|BS)[-/. ]?\d{1,6}|[A-Z]{1,4}[-/.]?\d{3,6}"
    r"|(?i:samples? (?:no\.? ?)?)[A-Z]{0,3}\d{1,6})[a-z]?\b"
)
SAMPLE_WORD = re.compile(r"\bsamples? (?:no\.? ?)?(?=[A-Z]{0,3}\d)", re.I)
SAMPLE_ALONE = re.compile(r"^(?:=|as |see |like )?[A-Z]{1,3}[-/.]?\d{1,6}[a-z]?$")
SEALED = re.compile(r"^([0-3])(?:\s?([su]))?$", re.I)
SEALS = {"s": "sealed", "u": "unsealed"}
NAMES = {
    "damage": "damage",
    "condition": "damage",
    "surface": "surface",
    "finish": "surface",
    "result": "identification",
}
NAMED = re.compile(rf"^({'|'.join(NAMES)})\b\s*[:=]?\s+(\S.*)$", re.I)
LIKE = re.compile(r"^=\s*")
IN_BRACKETS = re.compile(r"^(\S+?)\s?\(([A-Za-z+&/, ]{1,12})\)$")
BETWEEN = re.compile(r"\s*(?:[;,|\n]|/(?!(?:board|pipes?|stairs|tiles?|felt)\b))+\s*|\s+[-–—]\s+")
TICKS = frozenset(("✓", "✔", "√", "•", "●", "y", "yes", "present", "found"))
CROSSES = frozenset(("x", "✗", "✘", "×"))
NOTHING = frozenset(
    ("", "-", "–", "—", "--", "n", "no", "none", "nil", "n/a", "not present", "none seen", "none present")
)
NO_SUCH = re.compile(
    r"^(?:there (?:is|was|are|were) )?(?:no such\b|none (?:of (?:it|this|these|them)|here|there|in|fitted)\b"
    r"|not (?:here|there|fitted|applicable)\b|does(?: not|n'?t) (?:apply|exist|have)\b"
    r"|nothing (?:(?:found|seen|suspect) )?(?:there|here|in (?:that|this|the) (?:room|place|home))\W*$)",
    re.I,
)
"""What a code stands for that says that there is none of it: `none = no such thing in this one`."""
VOCABULARIES = {
    "identification": "identification",
    "asbestos_types": "asbestos_type",
    "damage": "damage",
    "surface": "surface",
    "product": "product",
    "room": "place",
}
"""What a piece may be, the likeliest first, and the vocabulary that has its words."""
MARKS = " /;,|-–—"
SAMPLE_LIKE = re.compile(r"\b[A-Z]{1,4}[-/.]?\d{1,6}[a-z]?\b", re.I)


UNREACHED = ("no_access", "unclear")
ITEM = {"identification", "asbestos_types"}
"""What each of several items of one cell says, one of these at least."""
FOUND = "identified"
"""What a type alone means where other codes say that something is presumed, or that none was found."""
JOINED = {"room": ", ", "asbestos_types": " + "}
"""What stands between several of a field in one cell, a blank else."""
WAS = re.compile(r"^(?:was|were|previously|formerly)\s+", re.I)
TOGETHER = re.compile(r"\s*[+&/]\s*")


@dataclass(frozen=True)
class Shorthand:
    """How the cells of a sheet are read: words by vocabulary, the keys of its workbook, and what marks mean in it."""

    terms: Mapping[str, Mapping[str, str]]
    keys: Sequence[Key] = ()
    is_ticked: bool = False
    """Whether the sheet has ticks, so that its crosses say that there is none."""
    among: Sequence[str] = tuple(VOCABULARIES)
    """Which fields a piece may be of."""
    order: Order = ()
    """What the pieces of a cell are of one after the other, where a key tells it."""

    @cached_property
    def says_results(self) -> bool:
        """Whether a key has codes for results beside those of types, so that a type alone is what was found."""
        return any(
            {"identification", "asbestos_types"}
            <= {self._found(meaning, ("known", "within", "several")) for meaning in key.meanings.values()}
            for key in self.keys
        )

    def is_nothing(self, cell: str) -> bool:
        """Whether a cell says that there is none of it, or nothing at all."""
        mark = cell.strip().lower()
        if NO_SUCH.match(self._decoded(cell.strip())):
            return True
        is_code = any(cell.strip() in key.meanings for key in self.keys)
        return not is_code and (mark in NOTHING or (self.is_ticked and mark in CROSSES))

    def is_no_access(self, said: Mapping[str, str]) -> bool:
        """Whether a cell says no more than that nobody could look."""
        known = self.terms.get("identification", {})
        text = said.get("identification", "")
        return (
            said.keys() <= {"identification", "notes"} and recognise_word("identification", text, known)[0] in UNREACHED
        )

    def items(self, cell: str) -> list[dict[str, str]]:
        """The items of a cell: one, or those that `;`, a line break or a full stop part, if each has its own result."""
        for between in (r"[;\n]|\.\s+(?=[A-Z])", r"[;\n]"):
            parts = [part for part in re.split(between, cell) if part.strip()]
            several = [self.read(part) for part in parts]
            if len(parts) > 1 and all(one.keys() & ITEM for one in several):
                return several
        return [self.read(cell)]

    def read(self, cell: str) -> dict[str, str]:
        """What a cell says by field; `notes` has what is none of it, `remark` what a code means that no field
        knows. A tick says no more than that it is there."""
        mark = cell.strip()
        if mark.lower() in TICKS | CROSSES and self._decoded(mark) == mark:
            return {}
        if not self._begins_with_sign(mark) and (name := self._known(mark)):
            return {name: self._decoded(mark)}
        said = read_in_order(mark, self.order, self._decoded, self.terms)
        rest = "" if said else mark
        for name, pattern in (("extent", EXTENT), ("sample_ref", SAMPLE)):
            if found := pattern.search(rest):
                said[name] = found[0].strip()
                rest = f"{rest[: found.start()]}\n{rest[found.end() :]}"
        for name, piece in self._pieces(rest):
            said[name] = f"{said[name]}{JOINED.get(name, ' ')}{piece}" if name in said else piece
        if "asbestos_types" in said and self.says_results:
            said.setdefault("identification", FOUND)
        if "sample_ref" in said:
            said["sample_ref"] = SAMPLE_WORD.sub("", LIKE.sub("as ", said["sample_ref"]))
            said.setdefault("identification", said["sample_ref"])
        return said

    def _pieces(self, text: str) -> Iterator[tuple[str, str]]:
        """The pieces of a text by field: what marks part, and its words where all, or the last, are known."""
        pieces = [piece for written in BETWEEN.split(text) if (piece := _bare(written))]
        is_room = has_room = False
        for nth, piece in enumerate(pieces):
            was_room, is_room = is_room, self._is_room(piece) and not (has_room and self._says_more(piece))
            has_room |= is_room
            if is_room or (was_room and piece.isdigit()):
                yield from self._of_room(piece)
            elif said := NAMED.match(piece):
                yield NAMES[said[1].lower()], said[2]
            elif self._known(piece) or self._is_bracketed(piece):
                yield from self._named(piece)
            elif nth and (seal := SEALED.match(piece)):
                yield "damage", seal[1]
                if seal[2]:
                    yield "surface", SEALS[seal[2].lower()]
            elif nth and SAMPLE_ALONE.match(piece):
                yield "sample_ref", piece
            else:
                yield from self._of_words(piece)

    def _of_room(self, piece: str) -> Iterator[tuple[str, str]]:
        """A room, and what it says of a material beside."""
        yield "room", piece
        if self._says_more(piece):
            yield "product", piece

    def _says_more(self, piece: str) -> bool:
        """Whether a piece names more than a room."""
        return self._found(piece, ("known", "within", "several")) not in ("room", None)

    def _of_words(self, piece: str) -> Iterator[tuple[str, str]]:
        """A piece that is not known as a whole: codes together, known words, or a result behind other words."""
        *words, last = piece.split()
        codes = TOGETHER.split(piece)
        if len(codes) > 1 and all(map(self._is_code, codes)):
            yield from ((self._known(code) or "notes", self._decoded(code)) for code in codes)
        elif words and all(map(self._known, (*words, last))):
            yield from (named for word in (*words, last) for named in self._named(word))
        elif words and self._known(last) == "identification":
            rest = " ".join(words)
            yield self._known(rest) or self._within(rest) or "notes", rest
            yield from self._named(last)
        else:
            name, is_material = self._within(piece), "product" in self.among and self._is_material(piece)
            if is_material and name != "product":
                yield "product", piece
            if name != "surface" or not is_material:
                yield name or ("remark" if self._is_code(piece) else "notes"), self._decoded(piece)

    def _is_material(self, piece: str) -> bool:
        """Whether a piece that says a result names the material as well: `Sink pad chrys`."""
        return recognise_word("product", piece, self.terms.get("product", {}))[0] not in (None, *NOT_SUSPECT)

    def _named(self, piece: str) -> Iterator[tuple[str, str]]:
        """A known piece, and the types that stand in brackets behind a code of it, as in `A(W)`."""
        code = IN_BRACKETS.match(piece)
        if code and ((name := self._known(code[1])) or self._is_code(code[1])):
            yield name or "remark", self._decoded(code[1])
            types = re.split(r"[+&/,]", WAS.sub("", code[2]))
            yield from (("asbestos_types", self._decoded(one.strip())) for one in types)
        else:
            yield self._known(piece) or "notes", self._decoded(piece)

    def _is_room(self, piece: str) -> bool:
        """Whether a piece names a room, where cells may."""
        rooms = self.terms.get("place", {}) if "room" in self.among else {}
        is_known = recognise_word("place", piece, rooms)[0] is not None or bool(rooms and respelt(piece, rooms, {}))
        return is_known and not self._is_code(piece)

    def _is_code(self, piece: str) -> bool:
        return self._decoded(piece) != piece

    def _begins_with_sign(self, cell: str) -> bool:
        """Whether a code that is no word stands before other words: `? - good`."""
        first, *others = BETWEEN.split(cell)
        return bool(others) and self._is_code(first.strip()) and not any(map(str.isalnum, first))

    def _is_bracketed(self, piece: str) -> bool:
        """Whether a piece is a code with types in brackets behind it."""
        code = IN_BRACKETS.match(piece)
        return code is not None and self._is_code(code[1])

    def _decoded(self, piece: str) -> str:
        return next((meaning for key in self.keys if (meaning := key.meanings.get(piece))), piece)

    def _known(self, written: str) -> str | None:
        """The field that a vocabulary knows a piece, or what it is a code for, as a word of."""
        bare = _bare(written)
        if (code := IN_BRACKETS.match(bare)) and self._decoded(code[1]) != code[1]:
            bare = code[1]
        piece = self._decoded(bare)
        return self._found(piece, ("known",)) or (self._within(piece) if piece != bare else None)

    def _within(self, piece: str) -> str | None:
        """The field of which a known word stands in a piece."""
        return None if SAMPLE_LIKE.search(piece) else self._found(piece, ("within", "several"))

    def _found(self, piece: str, ways: Sequence[str]) -> str | None:
        for name in self.among:
            term, how = recognise_word(VOCABULARIES[name], piece, self.terms.get(VOCABULARIES[name], {}))
            if term and how in ways:
                return name
        return None


def _bare(text: str) -> str:
    """A text without marks around it, and brackets of which the other one is elsewhere."""
    bare = text.strip(MARKS)
    return bare if bare.count("(") == bare.count(")") and not bare.startswith("(") else bare.strip(f"{MARKS}()")
