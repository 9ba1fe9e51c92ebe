"""Blocks and streets that a register's notes tell another name of: `Ash House was Block C until 2019`. Where the stock
list has only one of the two, it stands for the other in the rows of that workbook."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

import duckdb

from pipelines import queries

NAME = r"(?!(?:NB|Note|PS|Also|And|But|So)\b)(?:[A-Z][\w'’]*|St\.)(?: (?:[A-Z][\w'’]*|of|the|[0-9]{1,3})){0,4}"
TOLD = re.compile(
    rf"['\"“‘]?\b(?P<one>{NAME})['\"”’]?\s*(?:,\s*|\(\s*|=\s*|[-–]\s*)?"
    r"(?:(?:was|were|is|are|has been|got)\s+)?(?:(?:formerly|previously|once|now|also|then|originally|later|still)\s+)?"
    r"(?:(?:called|known as|named|used to be|renamed|re-named|became|a\.?k\.?a\.?"
    r"|the (?:old|new|former|other|same) (?:name )?(?:of|for|as)|the same (?:block|building) as|old name|new name)"
    r"\s*(?:as|to|for|of|called|known as)?[\s:=]*)*"
    rf"['\"“‘]?(?P<other>{NAME})\b['\"”’]?"
)
"""One name, what says that the other means the same, and that."""
SAYS_SO = re.compile(
    r"\b(?:was|were|formerly|previously|once|now|also|originally|called|known as|named|used to be|re-?named"
    r"|became|a\.?k\.?a|(?:old|new|former|other|same))\b|=",
    re.I,
)
OF_BUILDING = re.compile(
    r"\b(?:block|house|court|flats|tower|point|heights|lodge|mansions?|building|road|street|close|lane|avenue|row|terrace|place"
    r"|gardens|green|way|drive|walk|crescent|view|grange|hall)\b",
    re.I,
)
BEFORE = (
    r"(^|[,;:(–-]\s*|\b(?:at|in|of|to|for|the|and|by)\s+|\b(?:flat|flt|fl|apt|unit|no)\.?\s*\w{1,4},?\s+"
    r"|^\d{1,4}[a-z]?,?\s+)"
)
"""Where a name may begin: nothing else is named right before it."""


def told(con: duckdb.DuckDBPyConnection) -> Mapping[str, Mapping[str, str]]:
    """By workbook, the names that its notes tell with those that the stock list has instead."""
    pairs: dict[str, list[tuple[str, str]]] = defaultdict(list)
    top = int(queries.limits(con)["heading_search_rows"])
    for path, text in queries.tuples(con, "register", "names_told", rows=top):
        pairs[path] += pairs_in(text)
    names = sorted({name for said in pairs.values() for pair in said for name in pair})
    known = {name for (name,) in queries.tuples(con, "register", "names_in_stock", names=names)} if names else set()
    return {path: one for path, said in pairs.items() if (one := _meant(said, known))}


def _meant(pairs: Iterable[tuple[str, str]], known: set[str]) -> Mapping[str, str]:
    """The names that the stock list lacks, with those that it has; one that would stand for two stands for none."""
    found: dict[str, set[str]] = defaultdict(set)
    for pair in pairs:
        for name, other in (pair, pair[::-1]):
            if other in known and name not in known:
                found[name].add(other)
    return {name: next(iter(others)) for name, others in found.items() if len(others) == 1}


def pairs_in(text: str) -> Iterator[tuple[str, str]]:
    """The pairs of names of one building that a text tells."""
    for said in TOLD.finditer(text):
        between = text[said.end("one") : said.start("other")]
        names = said["one"], said["other"]
        if SAYS_SO.search(between) and all(map(OF_BUILDING.search, names)):
            yield names


def by_name(cells: Sequence[str], names: Mapping[str, str]) -> list[str]:
    """Cells with the names that the stock list has."""
    said = list(cells)
    for name, known in names.items():
        pattern = re.compile(rf"{BEFORE}{re.escape(name)}\b(?!['’]|\s*\()", re.I)
        said = [pattern.sub(rf"\g<1>{known}", cell) if name.lower() in cell.lower() else cell for cell in said]
    return said
