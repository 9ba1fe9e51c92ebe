"""What the words of a heading can mean, by the tables of headings alone."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from pipelines.register.contents import Contents
from pipelines.register.lists import rooms_said
from pipelines.register.words import plain, recognise_word

CONTEXT = (
    *("property_ref", "uprn", "address", "postcode", "survey_type", "surveyed_on", "surveyor", "organisation"),
    *("analysed_on", "laboratory", "certificate_ref", "analyst"),
)
PARTS_OF_ADDRESS = ("address", "postcode", "uprn")
EITHER = re.compile(r"\s+(?:or|and|&|with|-|–)\s+|\s*[/;+&\n]\s*", re.I)
# Which fields a column is read for whose heading names two.
TOGETHER = {
    frozenset(("sample_ref", "identification")): ("identification",),
    frozenset(("sample_ref", "asbestos_types")): ("identification",),
    frozenset(("identification", "asbestos_types")): ("identification",),
    frozenset(("floor", "room")): ("room",),
    frozenset(("room", "position")): ("room",),
    frozenset(("product", "position")): ("product",),
    frozenset(("extent", "extent_unit")): ("extent",),
    frozenset(("property_ref", "address")): ("address",),
    frozenset(("address", "postcode")): ("address",),
    frozenset(("address", "surveyed_on")): ("address",),
    frozenset(("property_ref", "surveyed_on")): ("address",),
}
# `Location / description` says both, though a description can be a room's.
ROOM_AND_PRODUCT = {"room", "product"}
NOT_NEEDED = "none"
LONGEST_TITLE = 5
"""Words: a line of more is a sentence."""
NUMBERED = re.compile(r"^\s*(?:q(?:uestion)?\s*)?\d+(?:\.\d+)*[.):]?\s+", re.I)
ASIDE = re.compile(r"\([^()]*\)")
ASKS = re.compile(
    r"^(?=(?:\S+\s+){2})(?:which|what|how|where|when|who|why|is|are|was|were|has|have|did|do|does|could|can|if|any|anything"
    r"|your|on (?:what|which)|describe|enter|select|choose|pick|type|scan|estimate)\b|^your \w+$|\?$"
)
CAPITALS = re.compile(r"(?<=[a-z])(?=[A-Z])")
# What databases add to the name of a column.
TECHNICAL = re.compile(r"(?:\s+(?:code|indicator|ind|flag|text|desc|description|value|yn|dttm|date time))+$")
SCORE_FIRST = re.compile(r"^score (\w[\w ]*)$")
WHOSE = re.compile(r"^(?:the )?(?:surveyor|inspector|consultant|analyst|lab(?:oratory)?)['’`]?s?['’`]? (?=\w{4})", re.I)
NOTES_ON = re.compile(r"^\W*(?:notes?|remarks?|comments?)\s*[-–:]\s*\S", re.I)
"""Notes, and what on: `notes - removed / sold`."""
NOTES = ("notes",)
FOUR_SCORES = re.compile(r"\bP\W{0,3}[CD]\W{0,3}S\W{0,3}[AFT]\b")
"""The four scores of the material assessment in its order, by their initials, as in `MAA (P.D.S.F)`: product, damage or
condition, surface, asbestos, fibre or type."""
SCORES_TOGETHER = ("scores_together",)
SCALE_BEHIND = re.compile(r"[\s,:]+(?:0\s*(?:-|–|to)\s*3|(?:y|yes)\s*[/|]\s*(?:n|no))\s*\??\s*$", re.I)
"""What the scores below a heading run to."""
OF_FINDINGS = {"notes", "recommendation", "identification", "asbestos_types", "product", "extent", "damage", "surface"}
"""What a heading may say whose it is: another's `name` or `ref` is no property's."""
Known = Mapping[str, Sequence[str]]


@dataclass(frozen=True)
class Reader:
    """What is known when headings of one kind of file are read: words to fields, contents, and the reader's limits."""

    kind: str
    known: Known
    short: Mapping[str, str]
    contents: Contents
    least_alike: float
    least_sure: float
    least_fields: int
    questions: Sequence[tuple[re.Pattern[str], str]] = ()
    """What headings that are questions ask for, the surest first."""
    explained: Mapping[str, str] = field(default_factory=dict)
    """Fields of columns by their plain headings, told by what the key of the workbook says of their codes."""
    remembered: dict[str, Sequence[str]] = field(default_factory=dict)
    told: dict[str, str | None] = field(default_factory=dict)

    def fields_of(self, text: str) -> Sequence[str]:
        """The fields that a heading can mean if its words, or what they are short for, are known."""
        if text not in self.remembered:
            is_both = set(self.together(text)) == ROOM_AND_PRODUCT
            meant = () if is_both else self._known(text) or self._common(EITHER.split(text))
            self.remembered[text] = meant or self._of_address(text) or self._by_form(text)
        return self.remembered[text]

    def _by_form(self, text: str) -> Sequence[str]:
        """What a heading means by how it is made: notes on something, or the initials of four scores."""
        if NOTES_ON.match(text):
            return NOTES
        return SCORES_TOGETHER if self.kind == "registers" and FOUR_SCORES.search(text) else ()

    def _known(self, text: str) -> Sequence[str]:
        """What a heading means as it is written, `PropName` as two words, `SC_DMG` as `damage score`, or what
        `Surveyor's remarks` are."""
        apart = CAPITALS.sub(" ", text)
        turned = SCORE_FIRST.sub(r"\1 score", in_full(apart, self.short))
        ways = (text, apart, turned)
        meant = (self.known.get(plain(one)) or self.known.get(in_full(one, self.short), ()) for one in ways)
        found: Sequence[str] = next(filter(None, meant), ())
        if not found and (whose := WHOSE.match(text)) and set(own := self._known(text[whose.end() :])) <= OF_FINDINGS:
            return own
        return found or self._asked(text)

    def _asked(self, text: str) -> Sequence[str]:
        """What a heading asks for that is a question, or tells what to enter: `3.4 How much of it is there?`"""
        bare = " ".join(ASIDE.sub(" ", NUMBERED.sub("", text)).lower().split())
        if not ASKS.match(bare):
            return ()
        return next(([name] for pattern, name in self.questions if pattern.search(bare.rstrip("?:. "))), ())

    def _common(self, parts: Sequence[str]) -> Sequence[str]:
        """What all parts of a heading such as `Room or Space` mean, if each of them is known."""
        meant = [self._known(part) for part in parts]
        return [name for name in meant[0] if all(name in fields for fields in meant)] if len(parts) > 1 else ()

    def _of_address(self, text: str) -> Sequence[str]:
        """What a field of an address within a record means: `property.address.line1`, `address.number`."""
        over, _, last = text.rpartition(".")
        if plain(over).split()[-1:] != ["address"]:
            return ()
        name = re.sub(r"(?<=[a-z])(?=\d)", " ", last)
        meant = (self._known(f"{before}{name}") for before in ("", "address ", "house "))
        return [one for one in next(filter(None, meant), ()) if one in PARTS_OF_ADDRESS]

    def together(self, text: str) -> Sequence[str]:
        """The fields that one column holds together by a heading such as `Condition and surface`."""
        parts = [part for part in EITHER.split(text) if part.strip()]
        if len(parts) < 2:
            return ()
        meant = [next(iter(self._known(part)), NOT_NEEDED) for part in parts]
        fields = tuple(dict.fromkeys(meant))
        if len(fields) != len(meant) or len(fields) < 2 or NOT_NEEDED in fields:
            return ()
        return TOGETHER.get(frozenset(fields), fields)

    def field_of(self, text: str) -> str | None:
        """The field that a heading most likely means."""
        if text not in self.told:
            self.told[text] = next(iter(self.fields_of(text) or self.together(text) or self.technical(text)[1]), None)
        return self.told[text]

    def technical(self, text: str) -> tuple[str, Sequence[str]]:
        """A heading without the words that a database adds, and the fields that it can mean: `AREA_DESC`."""
        words = in_full(text, self.short)
        bare = TECHNICAL.sub("", words).strip()
        return bare, self.known.get(bare, ()) if bare != words else ()

    def first_known(self, texts: Sequence[str]) -> str:
        """Of the words that may name a column, the first that are known, else the first."""
        return next((text for text in texts if self.field_of(text)), texts[0] if texts else "")

    def context_of(self, text: str) -> str | None:
        """The field that a label above a table means, of those that hold for the whole table."""
        return next((name for name in self.fields_of(text) if name in CONTEXT), None)

    def is_of_rooms(self, filled: Sequence[str]) -> bool:
        """Whether a row says one thing of a list of rooms, or in a sentence that nobody could look into one."""
        return rooms_said(filled, self.contents.terms) is not None or (
            len(set(filled)) == 1 and self._is_unseen(filled[0])
        )

    def _is_unseen(self, text: str) -> bool:
        terms = self.contents.terms
        result = recognise_word("identification", text, terms.get("identification", {}))[0]
        return (
            result == "no_access"
            and len(text.split()) > LONGEST_TITLE
            and recognise_word("place", text, terms.get("place", {}))[0] is not None
        )


def in_full(heading: str, short: Mapping[str, str]) -> str:
    """A heading's words without case, marks and what stands in brackets at its end, short ones in full: `Insp'd By` is
    `inspected by`, `Access (0-3)` is `access`, and so is `Access 0-3`."""
    bare = SCALE_BEHIND.sub("", re.sub(r"\([^()]*\)\s*$", "", heading)) or heading
    return " ".join(short.get(word, word) for word in plain(re.sub(r"['’`]", "", bare)).split())
