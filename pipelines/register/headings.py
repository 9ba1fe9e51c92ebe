"""Which row of a sheet is its heading, and which field each column holds."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import duckdb
import pandas as pd
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from pipelines import queries

PROPERTY = ("property_ref", "uprn", "address")
NEEDED = {"stock": PROPERTY, "registers": PROPERTY, "works": PROPERTY, "parameters": ("name",)}
SHORTEST_MISSPELT = 5
NEVER = 2.0
PLACE = {"path": "string", "sheet": "string"}
HEADINGS = PLACE | {
    "position": "int32",
    "heading": "string",
    "field": "string",
    "confidence": "float64",
    "reason": "string",
}
HEADING_ROWS = PLACE | {"kind": "string", "heading_row": "int32"}


@dataclass(frozen=True)
class Column:
    """How one column was read: `field` is None where it is not used; `confidence` is 0 to 1."""

    heading: str
    field: str | None
    confidence: float
    reason: str


def recognise(con: duckdb.DuckDBPyConnection) -> None:
    """Make `headings` (one row a column) and `heading_rows` (one row a sheet whose heading row was found)."""
    limits = queries.limits(con)
    known = _known(queries.tuples(con, "register", "known_headings"))
    tops = queries.tuples(con, "register", "first_rows", rows=int(limits["heading_search_rows"]))
    columns: list[tuple[Any, ...]] = []
    rows: list[tuple[Any, ...]] = []
    for (path, sheet, kind), group in groupby(tops, key=lambda row: row[:3]):
        top = list(group)
        found = find_heading([cells for *_, cells in top], known[kind], limits["heading_similarity_least"])
        if found is None or not _is_enough(found[1], kind, int(limits["heading_fields_least"])):
            continue
        index, read = found
        rows.append((path, sheet, kind, top[index][3]))
        columns += [
            (path, sheet, position, column.heading or None, column.field, column.confidence, column.reason)
            for position, column in enumerate(read, start=1)
        ]
    queries.insert(con, "headings", _frame(columns, HEADINGS))
    queries.insert(con, "heading_rows", _frame(rows, HEADING_ROWS))


def find_heading(top: Sequence[Sequence[str]], known: dict[str, str], least: float) -> tuple[int, list[Column]] | None:
    """The index of the heading row among a sheet's first rows, and how its columns read.

    `known` maps plain headings to fields. The heading is the row that names the most fields in known words, the first
    of them; the row above it may hold labels over groups of columns. Misspelt words are read in that row only, if at
    least `least` alike. None where no row names any field.
    """
    named = [_fields(_columns(top, index, known, NEVER)) for index in range(len(top))]
    if not any(named):
        return None
    index = named.index(max(named))
    return index, _columns(top, index, known, least)


def _columns(top: Sequence[Sequence[str]], index: int, known: dict[str, str], least: float) -> list[Column]:
    cells = top[index]
    above = _spread(top[index - 1], len(cells)) if index else [""] * len(cells)
    return _without_repeats([_read(group, cell, known, least) for group, cell in zip(above, cells, strict=True)])


def _fields(columns: list[Column]) -> int:
    return sum(column.field is not None for column in columns)


def plain(text: str) -> str:
    """A heading or word without case, marks and doubled blanks."""
    return " ".join(re.sub(r"[^a-z0-9+#]+", " ", text.lower()).split())


def _known(rows: list[tuple[str, str, str]]) -> dict[str, dict[str, str]]:
    known: dict[str, dict[str, str]] = {}
    for kind, field, heading in rows:
        known.setdefault(kind, {})[plain(heading)] = field
    return known


def _spread(labels: Sequence[str], width: int) -> list[str]:
    """Group labels carried to the right over the blank cells that a merged cell leaves."""
    spread, last = [], ""
    for label in [*labels, *[""] * width][:width]:
        last = label.strip() or last
        spread.append(last)
    return spread


def _read(group: str, cell: str, known: dict[str, str], least: float) -> Column:
    alone, grouped = plain(cell), plain(f"{group} {cell}")
    if not alone:
        return Column("", None, 0.0, "the heading is blank")
    shown = f"{group} / {cell}".strip(" /") if group else cell
    if grouped in known:
        return Column(shown if group else cell, known[grouped], 1.0, "the words are known")
    if alone in known:
        return Column(cell, known[alone], 1.0, "the words are known")
    if least < NEVER and len(alone) >= SHORTEST_MISSPELT:
        near = process.extractOne(
            alone, sorted(known), scorer=DamerauLevenshtein.normalized_similarity, score_cutoff=least
        )
        if near:
            return Column(cell, known[near[0]], round(near[1], 2), f"spelt almost like '{near[0]}'")
    return Column(cell, None, 0.0, "no table knows these words, so the column is not used")


def _without_repeats(columns: list[Column]) -> list[Column]:
    """A field is read from one column only: the surest, else the first."""
    kept: dict[str, int] = {}
    for index, column in enumerate(columns):
        if column.field and (column.field not in kept or column.confidence > columns[kept[column.field]].confidence):
            kept[column.field] = index
    return [
        column
        if column.field is None or kept[column.field] == index
        else Column(column.heading, None, 0.0, f"another column is read as {column.field} already")
        for index, column in enumerate(columns)
    ]


def _is_enough(columns: list[Column], kind: str, least: int) -> bool:
    fields = {column.field for column in columns} - {None}
    return len(fields) >= least and any(field in fields for field in NEEDED[kind])


def _frame(rows: list[tuple[Any, ...]], types: dict[str, str]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=list(types)).astype(types)
