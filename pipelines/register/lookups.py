"""Workbooks whose sheets refer to each other: items that name a survey, whose property and day stand on another sheet;
and sheets of a register that hold a laboratory's results.

What a sheet of items looks up is read as further columns of it. The rows of the file stay as they are, in `raw_rows`.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register import layout
from pipelines.register.layout import Numbered
from pipelines.register.reader import Reader
from pipelines.register.words import plain

LEAST_MET = 0.8
"""Of the rows that name a key, how many the other sheet must know."""
FEWEST_KEYS = 2
ITEMS = {"room", "product"}
ANALYSED = {"certificate_ref", "analysed_on", "laboratory", "lab_ref", "analyst"}
LOOKED_UP = pa.schema(
    [("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("cells", pa.list_(pa.string()))]
)
SAMPLE_SHEETS = pa.schema([("path", pa.string()), ("sheet", pa.string())])


@dataclass(frozen=True)
class Lookup:
    """A sheet that says the property, or the visit, of each key: `Survey | Property | Date`."""

    key: str
    headings: Sequence[str]
    rows: Mapping[str, Sequence[str]]


def join(con: duckdb.DuckDBPyConnection, registers: Reader, samples: Reader) -> None:
    """Make `looked_up_rows`, the rows of sheets with what they refer to, and `sample_sheets`, the sheets of results."""
    top = int(queries.limits(con)["heading_search_rows"])
    heads: dict[str, dict[str, Sequence[Numbered]]] = defaultdict(dict)
    for (path, sheet), rows in groupby(
        queries.tuples(con, "register", "rows_to_spread", rows=top, paths=None), key=lambda row: row[:2]
    ):
        heads[path][sheet] = [(number, cells) for *_, number, cells in rows]
    several = {path: sheets for path, sheets in heads.items() if len(sheets) > 1}
    results = [
        (path, sheet)
        for path, sheets in several.items()
        for sheet in sheets
        if is_of_results(sheets[sheet], registers, samples)
    ]
    queries.insert(con, "sample_sheets", _table(results, SAMPLE_SHEETS), is_step=True)
    paths = sorted(
        path for path, sheets in several.items() if any(_head(rows, registers) is not None for rows in sheets.values())
    )
    looked_up: list[tuple[object, ...]] = []
    whole = queries.tuples(con, "register", "rows_to_spread", rows=None, paths=paths) if paths else []
    for path, lines in groupby(whole, key=lambda row: row[0]):
        sheets: dict[str, list[Numbered]] = defaultdict(list)
        for _, sheet, number, cells in lines:
            sheets[sheet].append((number, cells))
        lookups = [lookup for rows in sheets.values() if (lookup := lookup_of(rows, registers))]
        for sheet, lines_here in sheets.items():
            looked_up += [(path, sheet, number, cells) for number, cells in extended(lines_here, lookups, registers)]
    queries.insert(con, "looked_up_rows", _table(looked_up, LOOKED_UP), is_step=True)


def _table(rows: Sequence[Sequence[object]], schema: pa.Schema) -> pa.Table:
    return pa.Table.from_pylist([dict(zip(schema.names, row, strict=True)) for row in rows], schema=schema)


def is_of_results(rows: Sequence[Numbered], registers: Reader, samples: Reader) -> bool:
    """Whether a sheet lists samples with what the laboratory found, and when, where or by whom; where they are only
    beside two of these, and then without the home, as a register names rooms."""
    for _, cells in rows:
        if layout.is_heading(cells, samples.field_of, samples.least_fields):
            fields = {name for cell in cells if cell.strip() for name in samples.fields_of(cell)}
            others = {registers.field_of(cell) for cell in cells if cell.strip()}
            is_answered = bool(fields & {"analysis_result", "asbestos_types"}) and bool(fields & ANALYSED)
            is_plain = "room" not in others or (len(fields & ANALYSED) > 1 and not others & set(layout.PROPERTY))
            return "sample_ref" in fields and is_answered and is_plain and not others & {"damage", "extent"}
    return False


def _head(rows: Sequence[Numbered], reader: Reader) -> int | None:
    """The index of the heading of a sheet of properties or visits that is none of items."""
    for index, (_, cells) in enumerate(rows):
        if layout.is_heading(cells, reader.field_of, reader.least_fields):
            fields = {reader.field_of(cell) for cell in cells}
            return index if fields & set(layout.PROPERTY) and not fields & ITEMS else None
    return None


def lookup_of(rows: Sequence[Numbered], reader: Reader) -> Lookup | None:
    """What a sheet says by its first column, if that has each of its values once."""
    index = _head(rows, reader)
    if index is None:
        return None
    headings = [cell.strip() for cell in rows[index][1]]
    at = next(position for position, heading in enumerate(headings) if heading)
    below = [cells for _, cells in rows[index + 1 :] if layout.at_or_blank(cells, at)]
    keys = [_key(layout.at_or_blank(cells, at)) for cells in below]
    said = [position for position, heading in enumerate(headings) if position != at and reader.context_of(heading)]
    if len(keys) < FEWEST_KEYS or len(set(keys)) < len(keys) or not said:
        return None
    return Lookup(
        plain(headings[at]),
        [headings[position] for position in said],
        {
            key: [layout.at_or_blank(cells, position) for position in said]
            for key, cells in zip(keys, below, strict=True)
        },
    )


def extended(rows: Sequence[Numbered], lookups: Sequence[Lookup], reader: Reader) -> Iterator[Numbered]:
    """The rows of a sheet from a heading on that has the key of another sheet and names no property itself, each with
    what the other says of its key."""
    for index, (_, cells) in enumerate(rows):
        labels = [plain(cell) for cell in cells]
        lookup = next((lookup for lookup in lookups if lookup.key in labels), None)
        if lookup is None or {reader.field_of(cell) for cell in cells if cell.strip()} & set(layout.PROPERTY):
            continue
        at = labels.index(lookup.key)
        below = rows[index + 1 :]
        keys = [key for _, line in below if (key := _key(layout.at_or_blank(line, at)))]
        if not keys or sum(key in lookup.rows for key in keys) < LEAST_MET * len(keys):
            continue
        width = max(len(line) for _, line in rows[index:])
        yield rows[index][0], [*_padded(cells, width), *lookup.headings]
        for number, line in below:
            if said := lookup.rows.get(_key(layout.at_or_blank(line, at))):
                yield number, [*_padded(line, width), *said]
        return


def _key(cell: str) -> str:
    return cell.casefold().removesuffix(".0")


def _padded(cells: Sequence[str], width: int) -> list[str]:
    return [*cells, *[""] * (width - len(cells))]
