"""What addresses claim to be, and the names of streets and blocks that are spelt almost alike.

An address says a home by *claims*: a unit (`3 of 12`: flat 3 of number 12; `12a`; `garage:4`) beside the name that the
unit stands at (`high street`, `elm court`). Two addresses mean one home only if they share a claim; what else they
say, the rest and the postcode, tells homes of one claim apart. Numbers are never compared by likeness, names are.
"""

import re
from collections.abc import Collection
from typing import NamedTuple

import duckdb
import numpy as np
import pandas as pd
import pyarrow as pa
from rapidfuzz import process
from rapidfuzz.distance import OSA

from pipelines import queries
from pipelines.register.addresses import Address, Vocabulary, parse

LONGEST_NAME = 80
WIDEST_RANGE = 200
LETTERS = "abcdefghijklmnopqrstuvwxyz"
SHORTEST_MISSPELT = 4
LONG_WORD = 8
MOST_EDITS = 2
NAMES_AT_ONCE = 2_000
THREADS = 2
DOUBLED = re.compile(r"([a-z])\1")
LETTERED = re.compile(r"(\d+)([a-z])")
LETTER_OF_HOUSE = re.compile(r"([a-z]) of (\d+)")
OF_RANGE = re.compile(r"(\d+)[a-z]? of (\d+)-(\d+)")
TWO_NUMBERS = re.compile(r"(\d+[a-z]?)([-/])(\d+[a-z]?)")
NAMED_AFTER = ("street", "building")
NEAR_NAMES = ["said", "name", "spelling"]
CLAIMS = ("address", "postcode", "unit", "name", "rest", "likeness", "house", "whole", "postcode_key")


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


class Stock(NamedTuple):
    """What the addresses of the stock list claim: homes, each a unit at a name, and the names; read by these words."""

    vocabulary: Vocabulary
    homes: frozenset[tuple[str, str]]
    names: frozenset[str]


def claims(address: Address, vocabulary: Vocabulary, known: Collection[str] = frozenset()) -> list[Claim]:
    """What an address can mean: units at names. `known` are names of the stock, to find where a name ends."""
    if address.is_beside or not address.names:
        return [Claim("other", whole(address), ""), *_beside(address)]
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


def _beside(address: Address) -> list[Claim]:
    """A numbered garage or store at the rear of a street is a unit of its own: `Garage 3 r/o Elm Road`."""
    if address.kind in ("home", "common") or not (address.flat and address.names) or address.numbers:
        return []
    name, *others = address.names
    return [Claim(f"{address.kind}:{address.flat}", f"beside {name}", " ".join(sorted(set(" ".join(others).split()))))]


def _is_flat_of_street(address: Address, name: str, vocabulary: Vocabulary) -> bool:
    """Whether `Flat 3` stands at a street: that may be house 3 or not, `Flat 3A` most likely is 3A.

    At a block, `Flat 3` and `3` are the same.
    """
    alone = address.flat is not None and not address.numbers and "-" not in address.flat
    return alone and address.kind == "home" and vocabulary.kind(name.rpartition(" ")[2]) == "street"


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
    is_alike = low.isdigit() == high.isdigit()  # `40a-44b` is a range as `40-44` is
    first, last = int(low.rstrip(LETTERS)), int(high.rstrip(LETTERS))
    is_range = is_alike and first < last <= first + WIDEST_RANGE
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


def is_slip(name: str, other: str) -> bool:
    """Whether two names differ by one slip of the pen within one word, which leaves its first letter: `Quilbeck Road`
    and `Quillbeck Road`. Hardly two streets are called so, if the word is long or a letter is but doubled or not."""
    differing = [(one, two) for one, two in zip(name.split(), other.split(), strict=False) if one != two]
    if len(name.split()) != len(other.split()) or len(differing) != 1:
        return False
    one, two = differing[0]
    if one[0] != two[0] or OSA.distance(one, two) != 1:
        return False
    is_doubled = min(len(one), len(two)) > SHORTEST_MISSPELT and DOUBLED.sub(r"\1", one) == DOUBLED.sub(r"\1", two)
    return is_doubled or min(len(one), len(two)) >= LONG_WORD


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


def without_last_word(said: Collection[str], stock: Collection[str], vocabulary: Vocabulary) -> list[tuple[str, str]]:
    """Pairs of a name that the stock does not have and the only one of the stock that is so called but for its last
    word, where this says what it is: `saltpan` and `saltpan way`, if there is no `saltpan close`."""
    named: dict[str, list[str]] = {}
    for name in stock:
        stem, _, last = name.rpartition(" ")
        if stem and vocabulary.kind(last) in NAMED_AFTER:
            named.setdefault(stem, []).append(name)
    return [(one, named[one][0]) for one in sorted(said) if len(named.get(one, ())) == 1]


def of_stock(con: duckdb.DuckDBPyConnection) -> Stock:
    """Make the step `stock_claims`: one row a claim of an address of the stock list as written."""
    vocabulary = Vocabulary.of(queries.tuples(con, "register", "address_words"))
    found = _claims_of(queries.tuples(con, "register", "stock_addresses"), vocabulary, frozenset())
    homes = frozenset((claim.unit, claim.name) for _, _, _, claim in found)
    found += [
        (text, code, address, one)
        for text, code, address, claim in found
        if (one := joined(claim)) and one[:2] not in homes
    ]
    queries.insert(con, "stock_claims", _table(found), is_step=True)
    return Stock(vocabulary, homes, frozenset(name for _, name in homes if name))


def of_registers(con: duckdb.DuckDBPyConnection, stock: Stock) -> None:
    """Make the steps `said_claims` (one row a claim of an address as registers have it) and `near_names`."""
    found = _claims_of(queries.tuples(con, "register", "said_addresses"), stock.vocabulary, stock.names)
    found += [
        (text, code, address, one)
        for text, code, address, claim in found
        if claim[:2] not in stock.homes and (one := joined(claim))
    ]
    names = {claim.name for _, _, _, claim in found}
    unknown = names - stock.names - {""}
    pairs = near_names(sorted(unknown), sorted(stock.names), stock.vocabulary)
    queries.insert(con, "said_claims", _table(found), is_step=True)
    near = [(*pair, "slip" if is_slip(*pair) else "spelling") for pair in pairs]
    near += [(*pair, "short") for pair in without_last_word(unknown, sorted(stock.names), stock.vocabulary)]
    queries.insert(con, "near_names", pd.DataFrame(near, columns=NEAR_NAMES, dtype="string"), is_step=True)


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
