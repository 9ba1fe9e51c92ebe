"""A key: codes with their meanings, and what a cell of them says."""

import re
from dataclasses import dataclass, field, replace

from pipelines.register.words import plain

FEWEST_SIGNS = 2
FEWEST_CODES = 3
CAPITALS = re.compile(r"\b[A-Z][a-z]*[A-Z][A-Za-z]*\b")
"""Codes among words, `AIB`, `BitA`."""
WITH_SAMPLE = re.compile(
    r"^([A-Za-z]{1,3}(?:\s?[+&/]\s?[A-Za-z]{1,3})*|[+–-](?= ?\())(\s*[-–:,]\s*|\s+(?=as\b)|\s*(?=\())(\S.*)$"
)
"""Codes before the sample that they stand for, `A+C - HC3`, `+ (as S1)`, or before what they are of, `C (tile)`."""
BEFORE_BRACKETS = re.compile(r"^(\S+(?: \S+)+) (\([^()]*\))$")
"""Several codes before a remark: `SP am (same as no. 2)`."""
LAYERS = re.compile(r"\s*[/;,]\s*")
OF_LAYER = re.compile(r"^([A-Za-z]{3,}(?: [A-Za-z]{3,})?)\.?[\s:]+(\S+)$")
"""A layer with its code: `Tile W`, `Adh. N.A.D.`"""
SAMPLE = re.compile(r"^[A-Z]{1,4}[-/.]?\d[\w/.-]*$")
"""A sample among codes: `SP HR/02 Am`."""
FIRST_CAPITALS = re.compile(r"[A-Z]{2,5}\b")
NO_WORD = re.compile(r"\w\.?[/ ]\w")
"""A code of two words, or with a stroke in it."""
STROKE = re.compile(r"\s+/\s+")
IN_BRACKETS = re.compile(r"\([^()]*")
KINDS = re.compile(r"\s*\([^()]*(?:\bor\b|[,/])[^()]*\)")
SEVERAL = re.compile(r"\s*[+/,&]\s*")
ABSENT = ("-", "–")
SAYS_NOTHING = frozenset(("code", "codes", "key", "score", "scores", "rating", "type", "of", "the", "to", "for"))
LONGEST_JOINED = SHORTEST_WORD = 3
PLACE_NAME = re.compile(r"^[A-Z][\w'’.]*(?:[ -][A-Z][\w'’.]*)+$")
"""The name of a street or block: `Elm Court`."""
AT_PLACE = re.compile(
    r"^(?P<code>\S+)[\s,]+(?:[-–]\s+)?(?:(?P<home>(?:(?:flat|flt|apt|no|nr)\.?\s*)?\d{1,4}[a-z]?)"
    r"|(?P<parts>(?:communal|common|comm|landlord'?s?|stairs?|staircase|landings?|roof|boiler|plant|tank|bin|lift)\b.*))$"
    r"|^(?P<before>(?:(?:flat|flt|apt|no|nr)\.?\s*)?\d{1,4}[a-z]?),?\s+(?P<behind>\S+)$",
    re.I,
)
"""A home, or the common parts, of a street or block said by its code: `EC 4`, `EC communal`, `4 EC`."""
SHORTEST_NAME = 2
NAME_WORDS_MOST = 10


@dataclass
class Key:
    """Codes with their meanings, and what they are called."""

    name: str
    meanings: dict[str, str] = field(default_factory=dict)
    tells: str | None = None
    """The field of a column of these codes, where their meanings tell it."""
    about: str = ""
    """What a column of these codes is called that has no name but a list of them, `S/R/P/N`."""
    is_of_places: bool = False
    """Whether the codes stand for streets or blocks."""
    words_too: frozenset[str] = frozenset()
    """The codes that are known to be the materials that they stand for."""
    order: tuple[str, ...] = ()
    """What cells say one after the other, where a key tells no codes but that: `material`, `result`, `amount in m2`."""

    def among_words(self) -> "Key":
        """The key of a column most of whose cells are words, among which codes stand that are known without it."""
        stay = {code for code in self.words_too if FIRST_CAPITALS.fullmatch(code)}
        said = {code: code if code in stay else meaning for code, meaning in self.meanings.items()}
        return replace(self, meanings=said)

    def decode(self, cell: str) -> str | None:
        """The meaning of a cell that is a code, or several, as `W+B` or `WB`; else None."""
        text = cell.strip().removesuffix(".0")
        if text in self.meanings:
            return self.meanings[text]
        if several := self._several(text) or self._at_place(text) or self._before_another(text):
            return several
        if (before := WITH_SAMPLE.match(text)) and (meaning := self.decode(before[1])):
            return f"{_in_short(meaning)}{before[2]}{before[3]}"
        if (first := BEFORE_BRACKETS.match(text)) and (meaning := self.decode(first[1])):
            return f"{meaning} {first[2]}"
        words = text.split()
        said = [
            self._several(word) or (word if _is_word(word) or SAMPLE.match(word) else self.meanings.get(word))
            for word in words
        ]
        if len(words) > 1 and words[0] in self.meanings and all(said):
            is_as_it_stands = said == words and words[0] in self.words_too
            return text if is_as_it_stands else ", ".join(filter(None, said))
        if text.isalpha() and len(text) == len(set(text)) > 1 and all(letter in self.meanings for letter in text):
            return " & ".join(self.meanings[letter] for letter in text)
        written = self.meanings.get(text.upper()) or self.meanings.get(_as_begun(text))
        return written or self._of_layers(text) or self._within(text)

    def _before_another(self, text: str) -> str | None:
        """The meanings of a code that goes before others, by the dash at its end: `L-` in `L-W`, like one next door."""
        for before, meaning in self.meanings.items():
            is_before = len(before) > 1 and before.endswith("-") and text.startswith(before)
            if is_before and (said := self.decode(text[len(before) :])):
                return f"{meaning}: {said}"
        return None

    def _at_place(self, text: str) -> str | None:
        """The home, or the common parts, of a street or block said by its code: `4 Elm Court` for `EC 4`."""
        found = AT_PLACE.match(text) if self.is_of_places else None
        name = self.meanings.get(found["code"] or found["behind"]) if found else None
        if not found or not name:
            return None
        return f"{name} {found['parts']}" if found["parts"] else f"{found['home'] or found['before']} {name}"

    def _of_layers(self, text: str) -> str | None:
        """The codes of layers, each behind its name, as in `Tile W / Adh. N.A.D.`"""
        layers = [OF_LAYER.match(piece) for piece in LAYERS.split(text)]
        said = [(layer[1], self.meanings.get(layer[2])) for layer in layers if layer]
        if len(said) < max(FEWEST_SIGNS, len(layers)) or not all(meaning for _, meaning in said):
            return None
        return "; ".join(f"{layer}: {str(meaning).replace('.', '')}" for layer, meaning in said)

    def _several(self, text: str) -> str | None:
        """The meanings of codes between marks: `W+B`, and of layers in their order, `W / -`."""
        parts = SEVERAL.split(text)
        if (
            len(parts) < 2
            or parts[0] not in self.meanings
            or not all(part in (*self.meanings, *ABSENT) for part in parts)
        ):
            return None
        mark = " / " if " / " in text else " & "
        return mark.join(_as_one(self.meanings.get(part, part)) for part in parts)

    def _within(self, text: str) -> str | None:
        """The codes in capitals that stand within other words, as in `Tile CHR, adhesive NAD`."""
        first, _, rest = text.partition(" ")
        is_first = first in self.meanings and len(first) >= SHORTEST_WORD
        read = CAPITALS.sub(lambda code: _in_short(self.meanings.get(code[0], code[0])), rest if is_first else text)
        read = f"{self.meanings[first]} {read}" if is_first else read
        is_coded = is_first or any(code in self.meanings for code in CAPITALS.findall(text))
        return read if is_coded and rest else None

    def is_listed_in(self, heading: str) -> bool:
        """Whether a heading is nothing but a list of the codes: `S/R/P/N`."""
        listed = SEVERAL.split(heading.strip())
        return len(listed) >= FEWEST_CODES and len(set(listed)) == len(listed) and set(listed) <= self.meanings.keys()

    def is_plainly_in(self, cell: str) -> bool:
        """Whether a code stands in a cell that is no word by itself: `t/ctg`, `ins bd`, or `VT` before other words."""
        if (first := FIRST_CAPITALS.match(cell)) and first[0] in self.meanings:
            return True
        return any(NO_WORD.search(code) and code.lower() in cell.lower() for code in self.meanings)

    def decode_joined(self, cell: str) -> str | None:
        """The meanings of codes of one letter each that stand side by side, as `WB`; else None."""
        letters = cell.strip().upper()
        if not 2 <= len(letters) <= LONGEST_JOINED or len(set(letters)) < len(letters):
            return None
        is_all = letters.isalpha() and all(letter in self.meanings for letter in letters)
        return " & ".join(self.meanings[letter] for letter in letters) if is_all else None

    def is_for(self, heading: str) -> bool:
        """Whether the name of the codes is a heading, or they have a word in common, in full or short; no sentence is
        a name."""
        if len(self.name.split()) > NAME_WORDS_MOST:
            return False
        return (bool(self.name) and plain(heading) == plain(self.name)) or any(
            len(shorter) >= SHORTEST_NAME and longer.startswith(shorter) and not SAYS_NOTHING & {one, other}
            for one in plain(heading).split()
            for other in plain(self.name).split()
            for shorter, longer in (sorted((one, other), key=len),)
        )


def _as_one(meaning: str) -> str:
    """A meaning among others, without the marks between layers: `vinyl / thermoplastic tile`, `bitumen (pad, glue)`."""
    return STROKE.sub(" or ", IN_BRACKETS.sub(lambda said: re.sub(r"\s*[,/]\s*", " or ", said[0]), meaning))


def _in_short(meaning: str) -> str:
    """A meaning among other words, without the kinds of it that a bracket lists: `floor tile (vinyl or asphalt)`."""
    return KINDS.sub("", meaning)


def _as_begun(text: str) -> str:
    """A code of several letters as it stands where a line begins with it: `Ins bd`."""
    return text[:1].upper() + text[1:] if len(text) >= SHORTEST_WORD else text


def _is_word(code: str) -> bool:
    """Whether a code says by itself what it means, as `bare` or `ptd` does."""
    return code.islower() and len(code) >= SHORTEST_WORD
