"""Addresses to their parts: flats, numbers, names of streets and blocks, postcodes."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import pairwise
from typing import NamedTuple

LONGEST = 400
"""Characters: anything longer is no address, and makes no claim."""
PARTS_KEPT = 50_000

TOKEN = re.compile(
    r"[a-z0-9]+(?:_[a-z0-9]+)+"  # a known phrase
    r"|\d+(?:st|nd|rd|th)\b"
    r"|\d+[a-z]?\b(?: ?[-/] ?\d+[a-z]?\b)*"
    r"|[a-z0-9]+"
)
UNMARKED = re.compile(r"['`.]")
COMMAS = re.compile(r"[\n\r;:()|]+")
COUNTED = re.compile(
    r"\(\s*(?:evens?|odds?)\s*\)|\bblock of \d+\b|\betc\b"
    r"|\b\d+[\s-]+(?:no\.?\s+)?(?:flats|homes|houses|units|dwellings|maisonettes|bungalows|stor(?:e?y|eys|ies))\b"
)
"""How many homes or storeys a block has, or which side of the street it is: no number of a home."""
RANGE_IN_WORDS = re.compile(r"\b(\d+[a-z]?) to (\d+[a-z]?)\b")
"""`14 to 24 Elm Road` is 14-24."""
MARKS = re.compile(r"[^a-z0-9]")
AS_DIGITS, AS_LETTERS = str.maketrans("oil", "011"), str.maketrans("01", "oi")
LEADING_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")
ORDINAL = re.compile(r"\d+(?:st|nd|rd|th)")
BETWEEN_LETTERS = re.compile(r"(?<=[a-z])[-/](?=[a-z])")
NUMBERED = re.compile(r" ?(\d+) (?=[a-z]{2})")
WITH_BLANK = re.compile(r"(\d+) ([a-z])\b")
PHRASE_BREAK = re.compile(r"[^a-z0-9,/-]+")
SHORT_FLAT = re.compile(r"^f(?=\d{1,3}[a-z]?[ ,])")
"""`F6, Elm House` is flat 6."""
POSTCODE_WITHIN = re.compile(r"\b([a-z]{1,2}[0-9][a-z0-9]?) ?([0-9][a-z]{2})\b[ ,]*$")
POSTCODE_MISTYPED = re.compile(r",[ ]*([a-z]{1,2}[0-9][a-z0-9 ]{2,6})[ ,]*$")
OF_BLOCK = frozenset(("of", "to", "at", "in", "serving"))
POSTCODE_BEFORE_DASH = re.compile(r"\b([a-z]{1,2}[0-9][a-z0-9]?) ([0-9][a-z]{2}) - ")
"""Before what an address says of the place: `Elm House, ZZ1 2AB - common parts`."""
RANGE_OF_BLOCK = re.compile(
    r"^([a-z]+(?: [a-z]+)+) ?, ?(\d+[a-z]? ?- ?\d+[a-z]?) ?,(?=[ ,-]*(?:communal|common|landlord|shared)\b)"
)
NAMING = ("street", "building")
FLAT = re.compile(r"\d+[a-z]?(?:[-/]\d+[a-z]?)*|[a-z]\d*|[a-z]\d+[a-z]?")


@dataclass(frozen=True, eq=False)
class Vocabulary:
    """The words of reference/address_words.csv: what is written -> (kind, word), and a pattern of its phrases."""

    words: Mapping[str, tuple[str, str]]
    phrases: re.Pattern[str]

    @classmethod
    def of(cls, rows: Iterable[tuple[str, str, str]]) -> "Vocabulary":
        """From rows of kind, word and written."""
        words = {written: (kind, word) for kind, word, written in rows}
        several = sorted((written for written in words if " " in written), key=len, reverse=True)
        return cls(words, re.compile(r"\b(" + "|".join(several) + r")\b"))

    def kind(self, token: str) -> str:
        """What kind of word a token is, blank for a name."""
        return self.words.get(token, ("", ""))[0]

    def word(self, token: str) -> str:
        """A token in full: `st` is street."""
        return self.words.get(token, ("", token))[1]


BLOCK = re.compile(r"^block (?:[a-z]|\d{1,2})$")
OF_ESTATE = re.compile(r"^(.+?) (block (?:[a-z]|\d{1,2}))$")


class Address(NamedTuple):
    """The parts of an address.

    kind: `home`, `common` (the common parts of a block) or garage, shop, room ...; flat: as `3`, `a`, `gf`; numbers:
    each with the index of the name that follows it; names: streets, blocks, towns in their order, in full words;
    is_beside: it says a place beside or behind another one, so it names none.
    """

    kind: str = "home"
    flat: str | None = None
    numbers: tuple[tuple[str, int], ...] = ()
    names: tuple[str, ...] = ()
    postcode: str | None = None
    is_beside: bool = False


def plain(text: str) -> str:
    """Lower case without accents and marks, but for commas, hyphens and strokes; `12 A` becomes `12a`."""
    letters = text.lower()
    if not letters.isascii():
        letters = unicodedata.normalize("NFKD", letters).replace("–", "-").replace("—", "-")
        letters = letters.encode("ascii", "ignore").decode()
    letters = RANGE_IN_WORDS.sub(r"\1-\2", COUNTED.sub(" ", letters))
    without = UNMARKED.sub("", letters).replace("&", " and ")
    commas = BETWEEN_LETTERS.sub(" ", COMMAS.sub(",", without))
    return " ".join(PHRASE_BREAK.sub(" ", commas).split())


@lru_cache(maxsize=PARTS_KEPT)
def postcode_of(text: str) -> str | None:
    """A whole postcode without blanks, with easily confused letters and digits set right; None for anything else."""
    code = MARKS.sub("", text.lower())
    if not 5 <= len(code) <= 8:
        return None
    digit = code[-3].translate(AS_DIGITS)
    letters = code[-2:].translate(AS_LETTERS)
    return code[:-3] + digit + letters


def parse(text: str, postcode: str | None, vocabulary: Vocabulary) -> Address:
    """The parts of an address; a postcode of its own column stands before one within the text."""
    if len(text) > LONGEST:
        return Address(names=(text,), is_beside=True)
    line = SHORT_FLAT.sub("flat ", plain(text)).rstrip(" ,")
    while (last := line.rpartition(",")[2].strip()) and vocabulary.kind(last) == "country":
        line = line[: -len(last)].rstrip(" ,")
    within = POSTCODE_WITHIN.search(line) or POSTCODE_MISTYPED.search(line) or POSTCODE_BEFORE_DASH.search(line)
    if within:
        line = f"{line[: within.start()].rstrip(' ,')},{line[within.end() :]}".rstrip(" ,")
    code = postcode_of(postcode or "") or (postcode_of("".join(within.groups())) if within else None)
    return _address(line, code, vocabulary)


def _address(line: str, postcode: str | None, vocabulary: Vocabulary) -> Address:
    """What the parts of an address between its commas say together: the first flat, the last floor and kind."""
    kind, flat, floor, is_flat, is_beside = "home", None, None, False, False
    numbers: list[tuple[str, int]] = []
    names: list[str] = []
    line = RANGE_OF_BLOCK.sub(partial(_beside_block, vocabulary=vocabulary), line)
    for text in line.split(","):
        numbered = NUMBERED.match(text)
        if numbered:  # read apart, so that a street is read once for all of its houses
            numbers.append((identity(numbered[1]), len(names)))
            text = text[numbered.end() :]
        part = _part(text, flat is not None, vocabulary)
        kind, flat, floor = part.kind or kind, flat or part.flat, part.floor or floor
        is_flat, is_beside = is_flat or part.is_flat, is_beside or part.is_beside
        numbers += [(number, len(names) + _named_at(number, at, part, vocabulary)) for number, at in part.numbers]
        names += part.names
    if kind != "common":  # the shared parts of a storey are those of the block
        flat = flat or floor or ("flat" if is_flat and numbers else None)
    return Address(kind, flat, tuple(numbers), tuple(names if numbers else _block_first(names)), postcode, is_beside)


def _block_first(names: list[str]) -> list[str]:
    """Names with that of a block of one letter or figure before the estate's: `Elm Yard, Block A`, `Elm Yard Block A`
    and `Block A, Elm Yard` are one."""
    apart = [part for name in names for part in OF_ESTATE.sub(r"\1|\2", name).split("|")]
    return sorted(apart, key=lambda name: BLOCK.match(name) is None) if any(map(BLOCK.match, apart)) else names


def _beside_block(found: re.Match[str], vocabulary: Vocabulary) -> str:
    """A range that stands alone behind the name of a block is of that block: `Ash House (1-12), Elm Road`. Without what
    says that it is the common parts it may be of the street."""
    return f"{found[1]} {found[2]}," if vocabulary.kind(found[1].split()[-1]) == "building" else found[0]


def _named_at(number: str, at: int, part: "_Part", vocabulary: Vocabulary) -> int:
    """The name that a number is of: the one behind it, but a range that ends its part is of the block before it, as in
    `Ash House 1-12 (communal), Elm Road`."""
    is_last = at == len(part.names) > 0
    is_of_block = is_last and "-" in number and vocabulary.kind(part.names[-1].rpartition(" ")[2]) in NAMING
    return at - 1 if is_of_block else at


@lru_cache(maxsize=PARTS_KEPT)
def _part(text: str, has_flat: bool, vocabulary: Vocabulary) -> "_Part":
    """Parts are kept: streets and towns stand in many addresses."""
    part = _Part(vocabulary, has_flat)
    part.read(_tokens(text, vocabulary))
    return part


def _tokens(part: str, vocabulary: Vocabulary) -> list[str]:
    """Words and numbers; known phrases are one token each."""
    joined = vocabulary.phrases.sub(lambda found: found[0].replace(" ", "_"), part)
    tokens = TOKEN.findall(WITH_BLANK.sub(r"\1\2", joined))
    return [token.replace("_", " ") if "_" in token else token.replace(" ", "") for token in tokens]


def _without_articles(tokens: list[str], vocabulary: Vocabulary) -> Iterator[str]:
    """The tokens but for the article that a name begins with, which people leave out: `The Maltings`. That of `The
    Close`, which has no other word, is part of the name."""
    for before, token, after in zip(["", *tokens], tokens, [*tokens[1:], ""], strict=False):
        is_first = not before.isalpha() or len(before) == 1 or vocabulary.kind(before) != ""
        if not (token == "the" and is_first and after.isalpha() and not vocabulary.kind(after)):
            yield token


class _Part:
    """Goes over the tokens between two commas once and gathers what they say."""

    def __init__(self, vocabulary: Vocabulary, has_flat: bool) -> None:
        self.vocabulary = vocabulary
        self.has_flat = has_flat
        self.kind: str | None = None
        self.flat: str | None = None
        self.floor: str | None = None
        self.is_flat = False
        self.is_after_floor = False
        self.numbers: list[tuple[str, int]] = []
        self.words: list[list[str]] = [[]]
        self.names: list[str] = []
        self.is_beside = False

    def read(self, tokens: list[str]) -> None:
        is_taken = False
        for token, after in pairwise([*_without_articles(tokens, self.vocabulary), ","]):
            is_taken = not is_taken and self._take(token, after)
        self.names = [" ".join(words) for words in self.words if words]

    def _take(self, token: str, after: str) -> bool:
        """Put one token where it belongs; whether the one after it is used up with it."""
        kind = self.vocabulary.kind(token)
        is_after_floor, self.is_after_floor = self.is_after_floor, kind == "floor"
        if kind == "unit" and is_after_floor:
            return False
        if kind == "unit" or (kind == "other unit" and not self.words[-1] and (not after.isalpha() or len(after) == 1)):
            return self._unit(token, kind, after)
        match kind:
            case "common":
                self.kind = "common"
            case "floor":
                self.floor = self.vocabulary.word(token)
            case "beside":
                self.is_beside = True
            case "noise":
                pass
            case _ if self.kind == "common" and token in OF_BLOCK and not any(self.names):
                pass
            case _:
                self._word_or_number(token, kind, after)
        return False

    def _unit(self, token: str, kind: str, after: str) -> bool:
        if kind == "other unit":
            self.kind = self.vocabulary.word(token)
        if not self.has_flat and FLAT.fullmatch(after):
            self.flat, self.has_flat = identity(after), True
            return True
        self.is_flat = self.is_flat or (kind == "unit" and not token.endswith("s"))
        return False

    def _word_or_number(self, token: str, kind: str, after: str) -> None:
        if token[0].isdigit() and not ORDINAL.fullmatch(token):
            self._close()
            self.numbers.append((identity(token), len(self.words) - 1))
        else:
            self.words[-1].append(self.vocabulary.word(token))
            if self._ends_name(kind, after):
                self._close()

    def _ends_name(self, kind: str, after: str) -> bool:
        """A name ends at the last of its words for a street or building that is not its first."""
        if kind not in ("street", "building") or len(self.words[-1]) < 2:
            return False
        return self.vocabulary.kind(after) not in ("street", "building", "apart") and not (
            len(after) == 1 and after.isalpha()
        )

    def _close(self) -> None:
        if self.words[-1]:
            self.words.append([])


def identity(number: str) -> str:
    """A flat's or house's number without leading zeros."""
    return LEADING_ZEROS.sub("", number)
