"""Columns that a line says in words, above rows without a heading: `no headings, it goes flat / room / what it is`."""

import re
from collections.abc import Sequence
from itertools import groupby

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register import layout
from pipelines.register.reader import ROOM_AND_PRODUCT, Reader

TOLD = pa.schema(
    [("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("cells", pa.list_(pa.string()))]
)
SENTENCE_ENDS = re.compile(r"[.!?]\s+|\s*\n\s*")
BETWEEN = tuple(
    map(re.compile, (r"\s*/\s*", r"\s*\|\s*", r"\s*;\s*", r"\s*,\s*(?:then\s+)?", r"\s+[-–—]\s+", r"\s+then\s+"))
)
"""What parts the names of columns in a line."""
LEAD_IN = re.compile(r"^.*(?:[:=]|\b(?:goes|go|runs?|reads?|gives?|are|is|order)\b(?!\s*[/,;|]))\s*(?=\S)", re.I)
"""What stands before the first of them: `it goes flat`, `the columns are: flat`."""
COLUMNS_LEAST = 4
LONGEST_NAME = 6
"""Words of a column's name."""
MOST_KNOWN = 0.8
FULL_ROWS_LEAST = 2


def read(con: duckdb.DuckDBPyConnection, registers: Reader) -> None:
    """Make `told_headings`: one row a line that says the columns of the rows below it, with these as its cells."""
    lines = groupby(queries.tuples(con, "register", "lines_with_columns"), key=lambda row: row[:4])
    told = [
        dict(zip(TOLD.names, (path, sheet, number, cells), strict=True))
        for (path, sheet, number, text), rows in lines
        if (cells := heading(text, [row[4] for row in rows], registers))
    ]
    queries.insert(con, "told_headings", pa.Table.from_pylist(told, schema=TOLD), is_step=True)


def heading(text: str, below: Sequence[Sequence[str]], reader: Reader) -> list[str]:
    """The heading that a line says, as cells over the rows below it; none where one of these is a heading itself, or
    they do not have as many cells."""
    rows = [cells for cells in below if any(map(str.strip, cells))]
    named = names(text, reader)
    if not named or any(layout.is_heading(cells, reader.field_of, reader.least_fields) for cells in rows):
        return []
    filled = [[at for at, cell in enumerate(cells) if cell.strip()] for cells in rows]
    start = min(at for row in filled for at in row)
    is_within = all(row[0] == start and row[-1] < start + len(named) for row in filled)
    n_full = sum(1 for row in filled if len(row) == len(named))
    return [*[""] * start, *named] if is_within and n_full >= FULL_ROWS_LEAST else []


def names(text: str, reader: Reader) -> list[str]:
    """The columns that a sentence of a line lists: short words, nearly all of them known headings, a room or material
    among them, each another field."""
    for sentence in SENTENCE_ENDS.split(text):
        for between in BETWEEN:
            parts = [part.strip(" .\"'") for part in between.split(sentence)]
            parts[0] = LEAD_IN.sub("", parts[0]).strip()
            if len(parts) >= COLUMNS_LEAST and all(0 < len(part.split()) <= LONGEST_NAME for part in parts):
                fields = {name for part in parts if (name := reader.field_of(part))}
                if len(fields) >= MOST_KNOWN * len(parts) and fields & ROOM_AND_PRODUCT:
                    return parts
    return []
