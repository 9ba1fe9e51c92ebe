"""Addresses to their parts, and the names of streets and blocks that are spelt almost alike.

An address says a home by *claims*: a unit (`3 of 12`: flat 3 of number 12; `12a`; `garage:4`) beside the name that the
unit stands at (`high street`, `elm court`). Two addresses mean one home only if they share a claim; what else they
say, the rest and the postcode, tells homes of one claim apart. Numbers are never compared by likeness, names are.
"""

import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import duckdb
import numpy as np
import pandas as pd
import pyarrow as pa
from rapidfuzz import process
from rapidfuzz.distance import OSA

from pipelines import queries

LONGEST = 400
"""Characters: anything longer is no address, and makes no claim."""
LONGEST_NAME = 80
WIDEST_RANGE = 200
SHORTEST_MISSPELT = 4
LONG_WORD = 8
MOST_EDITS = 2
NAMES_AT_ONCE = 2_000
PARTS_KEPT = 50_000
THREADS = 2

TOKEN = re.compile(
    r"[a-z0-9]+(?:_[a-z0-9]+)+"  # a known phrase
    r"|\d+(?:st|nd|rd|th)\b"
    r"|\d+[a-z]?\b(?: ?[-/] ?\d+[a-z]?\b)*"
    r"|[a-z0-9]+"
)
UNMARKED = re.compile(r"['`.]")
COMMAS = re.compile(r"[\n\r;:()|]+")
MARKS = re.compile(r"[^a-z0-9]")
AS_DIGITS, AS_LETTERS = str.maketrans("oil", "011"), str.maketrans("01", "oi")
LEADING_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")
LETTERED = re.compile(r"(\d+)([a-z])")
LETTER_OF_HOUSE = re.compile(r"([a-z]) of (\d+)")
OF_RANGE = re.compile(r"(\d+)[a-z]? of (\d+)-(\d+)")
TWO_NUMBERS = re.compile(r"(\d+[a-z]?)([-/])(\d+[a-z]?)")
ORDINAL = re.compile(r"\d+(?:st|nd|rd|th)")
BETWEEN_LETTERS = re.compile(r"(?<=[a-z])[-/](?=[a-z])")
NUMBERED = re.compile(r" ?(\d+) (?=[a-z]{2})")
WITH_BLANK = re.compile(r"(\d+) ([a-z])\b")
PHRASE_BREAK = re.compile(r"[^a-z0-9,/-]+")
POSTCODE_WITHIN = re.compile(r"\b([a-z]{1,2}[0-9][a-z0-9]?) ?([0-9][a-z]{2})\b[ ,]*$")
POSTCODE_MISTYPED = re.compile(r",[ ]*([a-z]{1,2}[0-9][a-z0-9 ]{2,6})[ ,]*$")
OF_BLOCK = frozenset(("of", "to", "at", "in", "serving"))
CLAIMS = ("address", "postcode", "unit", "name", "rest", "likeness", "house", "whole", "postcode_key")
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
        return self.words.get(token, ("", ""))[0]

    def word(self, token: str) -> str:
        return self.words.get(token, ("", token))[1]


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


class Claim(NamedTuple):
    """A unit at a name, with the other words of the address.

    likeness: `name` as it is said; `turned`: flat and house may be the other way round; `role`: the flat may be a
    house; `joined`: flat and house may be written together or apart.
    house: the number of the block in another street, where the unit is a flat of a named block.
    """

    unit: str
    name: str
    rest: str
    likeness: str = "name"
    house: str | None = None


def plain(text: str) -> str:
    """Lower case without accents and marks, but for commas, hyphens and strokes; `12 A` becomes `12a`."""
    letters = text.lower()
    if not letters.isascii():
        letters = unicodedata.normalize("NFKD", letters).replace("–", "-").replace("—", "-")
        letters = letters.encode("ascii", "ignore").decode()
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
    line = plain(text)
    line = line.rstrip(" ,")
    while (last := line.rpartition(",")[2].strip()) and vocabulary.kind(last) == "country":
        line = line[: -len(last)].rstrip(" ,")
    within = POSTCODE_WITHIN.search(line) or POSTCODE_MISTYPED.search(line)
    if within:
        line = line[: within.start()].rstrip(" ,")
    code = postcode_of(postcode or "") or (postcode_of("".join(within.groups())) if within else None)
    return _address(line, code, vocabulary)


def _address(line: str, postcode: str | None, vocabulary: Vocabulary) -> Address:
    """What the parts of an address between its commas say together: the first flat, the last floor and kind."""
    kind, flat, floor, is_flat, is_beside = "home", None, None, False, False
    numbers: list[tuple[str, int]] = []
    names: list[str] = []
    for text in line.split(","):
        numbered = NUMBERED.match(text)
        if numbered:  # read apart, so that a street is read once for all of its houses
            numbers.append((identity(numbered[1]), len(names)))
            text = text[numbered.end() :]
        part = _part(text, flat is not None, vocabulary)
        kind, flat, floor = part.kind or kind, flat or part.flat, part.floor or floor
        is_flat, is_beside = is_flat or part.is_flat, is_beside or part.is_beside
        numbers += [(number, len(names) + at) for number, at in part.numbers]
        names += part.names
    flat = flat or floor or ("flat" if is_flat and numbers else None)
    return Address(kind, flat, tuple(numbers), tuple(names), postcode, is_beside)


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
        for token, after in pairwise([*tokens, ","]):
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


def claims(address: Address, vocabulary: Vocabulary, known: Collection[str] = frozenset()) -> list[Claim]:
    """What an address can mean: units at names. `known` are names of the stock, to find where a name ends."""
    if address.is_beside or not address.names:
        return [Claim("other", whole(address), "")]
    prefix = "" if address.kind == "home" else f"{address.kind}:"
    found = []
    for unit, at, likeness, house in _units(address):
        name, others = _split(address.names, at, known)
        rest = " ".join(sorted(set(others.split())))
        found.append(Claim(prefix + unit, name, rest, likeness, house))
        if _is_flat_of_street(address, name, vocabulary):
            as_house = "joined" if LETTERED.fullmatch(unit) else "role"
            found[-1:] = [Claim(f"{prefix}flat {unit}", name, rest), Claim(prefix + unit, name, rest, as_house)]
    return found


def _is_flat_of_street(address: Address, name: str, vocabulary: Vocabulary) -> bool:
    """Whether `Flat 3` stands at a street: that may be house 3 or not, `Flat 3A` most likely is 3A.

    At a block, `Flat 3` and `3` are the same.
    """
    alone = address.flat is not None and not address.numbers and "-" not in address.flat
    return alone and vocabulary.kind(name.rpartition(" ")[2]) == "street"


def _units(address: Address) -> list[tuple[str, int, str, str | None]]:
    """Each unit with the index of the name that it stands at, its likeness, and the house of a flat of a block."""
    numbers = [number for number, _ in address.numbers]
    places = [place if place < len(address.names) else 0 for _, place in address.numbers]
    flat = address.flat or ""
    if not flat and len(numbers) > 1:
        flat, numbers, places = numbers[0], numbers[1:], places[1:]
    if flat == "flat":
        return [
            (" of ".join([flat, *numbers]), places[0], "name", None),
            (" of ".join(numbers), places[0], "role", None),
        ]
    if flat and numbers:
        within_block = [(flat, 0, "name", " of ".join(numbers))] if places[0] > 0 else []
        return [(" of ".join([flat, *numbers]), places[0], "name", None), *within_block]
    alone, at = (flat, 0) if flat else (numbers[0], places[0]) if numbers else ("", 0)
    return [(unit, at, likeness, None) for unit, likeness in _readings(alone)]


def _readings(alone: str) -> list[tuple[str, str]]:
    """`3/12` is flat 3 of 12 or flat 12 of 3, and might be a range; `12-14` is a range and `14-3` none."""
    parts = TWO_NUMBERS.fullmatch(alone)
    if not parts:
        return [(alone, "name")]
    low, mark, high = parts[1], parts[2], parts[3]
    is_range = low.isdigit() and high.isdigit() and int(low) < int(high) <= int(low) + WIDEST_RANGE
    both_ways = [(f"{low} of {high}", "turned"), (f"{high} of {low}", "turned")]
    if mark == "-" and is_range:
        return [(alone, "name")]
    return [*both_ways, (f"{low}-{high}", "turned")] if is_range else both_ways


def _split(names: tuple[str, ...], at: int, known: Collection[str]) -> tuple[str, str]:
    """The name at an index and all the other words; the longest beginning that the stock knows is the name."""
    if not names:
        return "", ""
    name = names[at]
    others = " ".join((*names[:at], *names[at + 1 :]))
    if not known or name in known:
        return name, others
    words = " ".join(names[at:]).split()
    longest = next((n for n in range(len(words), 0, -1) if " ".join(words[:n]) in known), 0)
    if not longest:
        return name, others
    return " ".join(words[:longest]), " ".join((*names[:at], *words[longest:]))


def joined(claim: Claim) -> Claim | None:
    """The same home with its flat and house written together or apart: `Flat A, 27` is `27A`, and the other way about;
    `28 of 28-34`, whose block has its homes' numbers for a name, is 28."""
    kind, colon, said = claim.unit.rpartition(":")
    if apart := LETTERED.fullmatch(said):
        unit = f"{apart[2]} of {apart[1]}"
    elif letter := LETTER_OF_HOUSE.fullmatch(said):
        unit = letter[2] + letter[1]
    elif (within := OF_RANGE.fullmatch(said)) and int(within[2]) <= int(within[1]) <= int(within[3]):
        unit = said.partition(" ")[0]
    else:
        return None
    return claim._replace(unit=kind + colon + unit, likeness="joined") if claim.likeness == "name" else None


def whole(address: Address) -> str:
    """Everything an address says but its postcode, in one line: equal lines are equal addresses."""
    kind = f"beside {address.kind}" if address.is_beside else address.kind
    said = [kind, address.flat or "", *(number for number, _ in address.numbers), *address.names]
    return " ".join(" ".join(said).split())


def spelt_alike(name: str, other: str, vocabulary: Vocabulary) -> bool:
    """Whether two names may be one name misspelt: word by word, never where a word or digit tells streets apart."""
    if name.replace(" ", "") == other.replace(" ", ""):
        return True
    words, others = name.split(), other.split()
    if len(words) != len(others):
        return False
    return all(_word_alike(one, two, vocabulary) for one, two in zip(words, others, strict=True))


def _word_alike(one: str, two: str, vocabulary: Vocabulary) -> bool:
    if one == two:
        return True
    if min(len(one), len(two)) < SHORTEST_MISSPELT or not (one + two).isalpha():
        return False
    if vocabulary.kind(one) and vocabulary.kind(two):
        return False
    most = MOST_EDITS if min(len(one), len(two)) >= LONG_WORD else 1
    return OSA.distance(one, two) <= most


def near_names(said: list[str], stock: list[str], vocabulary: Vocabulary) -> list[tuple[str, str]]:
    """Pairs of a name that the stock does not have and each one of the stock that it may be, misspelt."""
    said, stock = ([name for name in names if len(name) <= LONGEST_NAME] for names in (said, stock))
    pairs = []
    for start in range(0, len(said) if stock else 0, NAMES_AT_ONCE):
        part = said[start : start + NAMES_AT_ONCE]
        edits = process.cdist(
            part, stock, scorer=OSA.distance, score_cutoff=MOST_EDITS, dtype=np.uint8, workers=THREADS
        )
        pairs += [(part[row], stock[column]) for row, column in zip(*np.nonzero(edits <= MOST_EDITS), strict=True)]
    return [(one, two) for one, two in pairs if spelt_alike(one, two, vocabulary)]


def read(con: duckdb.DuckDBPyConnection) -> None:
    """Make the steps `stock_claims` and `said_claims` (one row a claim of an address as written), and `near_names`."""
    vocabulary = Vocabulary.of(queries.tuples(con, "register", "address_words"))
    written = queries.tuples(con, "register", "written_addresses")
    stock = [(text, code) for text, code, in_stock, _ in written if in_stock]
    said = [(text, code) for text, code, _, is_said in written if is_said]
    of_stock = _claims_of(stock, vocabulary, frozenset())
    homes = {(claim.unit, claim.name) for _, _, _, claim in of_stock}
    known = frozenset(name for _, name in homes if name)
    of_stock += [
        (text, code, address, one)
        for text, code, address, claim in of_stock
        if (one := joined(claim)) and one[:2] not in homes
    ]
    of_registers = _claims_of(said, vocabulary, known)
    of_registers += [
        (text, code, address, one)
        for text, code, address, claim in of_registers
        if claim[:2] not in homes and (one := joined(claim))
    ]
    names = {claim.name for _, _, _, claim in of_registers}
    pairs = near_names(sorted(names - known - {""}), sorted(known), vocabulary)
    queries.insert(con, "stock_claims", _table(of_stock), is_step=True)
    queries.insert(con, "said_claims", _table(of_registers), is_step=True)
    queries.insert(con, "near_names", pd.DataFrame(pairs, columns=["said", "name"], dtype="string"), is_step=True)


def _claims_of(
    written: list[tuple[str, str | None]], vocabulary: Vocabulary, known: Collection[str]
) -> list[tuple[str, str | None, Address, Claim]]:
    return [
        (text, code, address, claim)
        for text, code in written
        for address in [parse(text, code, vocabulary)]
        for claim in claims(address, vocabulary, known)
    ]


def _table(found: list[tuple[str, str | None, Address, Claim]]) -> pa.Table:
    rows = [(text, code, *claim, whole(address), address.postcode) for text, code, address, claim in found]
    columns = zip(*rows, strict=True) if rows else [()] * len(CLAIMS)
    return pa.table([pa.array(column, pa.string()) for column in columns], names=CLAIMS)
