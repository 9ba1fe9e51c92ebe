"""What a laboratory found, by its words: types of asbestos, asbestos of a type not named, none, or no result.

A text is cut into clauses (`and`, `;`, `,` ...). A type that a clause names was found unless the clause denies it (`no
amosite`, `amosite: not detected`); what is found in one clause stands whatever the others deny. Other words are those
of the field `analysis_result` of `reference/terms.csv`, the longest phrase of a clause first.
"""

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register.phrases import phrases_within
from pipelines.register.words import plain, type_of

FIELD, TYPES = "analysis_result", "asbestos_type"
UNNAMED = "unknown"
SIGNS = ((re.compile(r"\+\s*ve\b", re.I), " positive "), (re.compile(r"(^|[\s:(])-\s*ve\b", re.I), " negative "))
BETWEEN = re.compile(r"[;,/&+|\n]|\.\s|\b(?:and|with|but|plus)\b", re.I)
DENIED_BEFORE = re.compile(
    r"\b(?:no|nil|zero|without|free of|free from)"
    r"(?: (?:traces?|signs?|evidence|fibres?|asbestos|of|any|other|detectable))* @\d+(?: (?:or|nor) @\d+)*"
)
DENIED_AFTER = re.compile(
    r"@\d+(?: (?:asbestos|fibres?|content|is|was|were))* "
    r"(?:not|none|nothing|nd|n d|nad\w*|negative|neg|nil|absent|no|n|non detect\w*|0+(?! \d))\b"
)
MENTION = re.compile(r"@(\d+)")
SHORTEST_TYPE = 4
FOUND = pa.schema(
    [("written", pa.string()), ("outcome", pa.string()), ("types", pa.list_(pa.string())), ("how", pa.string())]
)


class Result(NamedTuple):
    """What was found: `detected` (types in order, none where none is named), `none`, `no_result`, or nothing known.

    `how`: the words are `known`, stand `within` others, or are `several` that say different things.
    """

    outcome: str | None
    types: tuple[str, ...]
    how: str


def recognise(con: duckdb.DuckDBPyConnection) -> None:
    """Make `recognised_results`: one row per distinct text of a result, with what it says was found."""
    outcomes, types = known_words(con)
    rows = [
        dict(zip(FOUND.names, (written, *read(written, outcomes, types)), strict=True))
        for (written,) in queries.tuples(con, "register", "written_results")
    ]
    queries.insert(con, "recognised_results", pa.Table.from_pylist(rows, FOUND), is_step=True)


def known_words(con: duckdb.DuckDBPyConnection) -> tuple[Mapping[str, str], Mapping[str, str]]:
    """The words for outcomes and for types of asbestos, plain."""
    known: dict[str, dict[str, str]] = {FIELD: {}, TYPES: {}}
    for field, term, written in queries.tuples(con, "register", "known_terms"):
        if field in known:
            known[field].setdefault(plain(written), term)
    return known[FIELD], {written: term for written, term in known[TYPES].items() if term not in ("none", UNNAMED)}


def read(written: str, outcomes: Mapping[str, str], types: Mapping[str, str]) -> Result:
    """What a result says, by the words for outcomes and for types of asbestos, both plain."""
    for sign, word in SIGNS:
        written = sign.sub(word, written)
    whole = plain(written)
    if whole in outcomes:
        return Result(outcomes[whole], (), "known")
    if whole in types:
        return Result("detected", tuple(types[whole].split("+")), "known")
    found: set[str] = set()
    said: set[str] = set()
    for outcome, named, _ in (_clause(plain(clause), outcomes, types) for clause in BETWEEN.split(written)):
        found |= set(named)
        said |= {outcome} if outcome else set()
    how = "several" if len(said) > 1 else "known" if _is_known(written, types) else "within"
    outcome = next((one for one in ("detected", "none", "no_result") if one in said), None)
    return Result(outcome, tuple(sorted(found)), how if outcome else "unknown")


def _is_known(written: str, types: Mapping[str, str]) -> bool:
    return all(plain(clause) in types for clause in BETWEEN.split(written))


def _clause(text: str, outcomes: Mapping[str, str], types: Mapping[str, str]) -> Result:
    """What one clause says."""
    if text in types:
        return Result("detected", tuple(types[text].split("+")), "known")
    named = sorted(_types(text, types), key=lambda pair: (-len(pair[0]), pair))
    if named:
        masked = f" {text} "
        for number, (word, _) in enumerate(named):
            masked = masked.replace(f" {word} ", f" @{number} ")
        left = DENIED_AFTER.sub(" ", DENIED_BEFORE.sub(" ", masked))
        found = {one for number in MENTION.findall(left) for one in named[int(number)][1].split("+")}
        return Result("detected" if found else "none", tuple(sorted(found)), "within")
    phrases = phrases_within(text, outcomes) | ({text} & outcomes.keys())
    longest = max(sorted(phrases), key=len, default=None)
    return Result(outcomes[longest] if longest else None, (), "within")


def _types(text: str, types: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The words of a clause that name a type, also misspelt a little, with the type."""
    inside = {phrase for phrase in phrases_within(text, types) if len(phrase) >= SHORTEST_TYPE}
    for phrase in sorted(inside):
        yield phrase, types[phrase]
    for word in text.split():
        if (
            not any(word in phrase.split() for phrase in inside)
            and len(word) >= SHORTEST_TYPE
            and (term := type_of(word, types))
        ):
            yield word, term
