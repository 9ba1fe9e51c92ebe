"""Which rows of a sheet are its headings, and what is kept of how their columns were read."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import count, groupby, islice
from typing import Any

import duckdb
import pandas as pd

from pipelines import queries
from pipelines.register import bands, layout
from pipelines.register.columns import read_columns, without_repeats
from pipelines.register.contents import Contents
from pipelines.register.key import Key
from pipelines.register.meanings import Column, fields_in
from pipelines.register.papers import until_paper
from pipelines.register.reader import NOT_NEEDED, Reader, in_full
from pipelines.register.sole_columns import NOBODY_IN
from pipelines.register.visit_columns import rows_in_full_years
from pipelines.register.words import plain

KEYS = {
    "stock": ("property_ref", "uprn", "address"),
    "registers": ("room", "product", "identification"),
    "works": ("property_ref", "uprn", "address"),
    "samples": ("sample_ref", "lab_ref"),
    "parameters": ("name",),
    "corrections": ("who", "why", "on"),
}
PLACE = {"path": "string", "sheet": "string"}
HEADINGS = (
    {"table_id": "int32"}
    | PLACE
    | {
        "position": "int32",
        "heading": "string",
        "field": "string",
        "confidence": "float64",
        "reason": "string",
    }
)
COLUMNS_READ = {"table_id": "int32", "sheet": "string", "position": "int32"}
COLUMNS_READ |= {"heading": "string", "field": "string", "confidence": "float64"}
ALSO_READ = {"table_id": "int32", "position": "int32", "field": "string"}
HEADING_ROWS = {"table_id": "int32"} | PLACE | {"kind": "string", "first_row": "int32", "heading_row": "int32"}
SAID_ABOVE = {"table_id": "int32", "nth": "int32", "field": "string", "value": "string"}

MADE = {
    "heading_rows": HEADING_ROWS,
    "headings": HEADINGS,
    "columns_read": COLUMNS_READ,
    "also_read": ALSO_READ,
    "said_above": SAID_ABOVE,
}
STEPS = ("columns_read", "also_read")
TELLING_ROWS = 200
APOSTROPHE = re.compile(r"(?<=[a-z]{2}) s\b")
"""What an apostrophe leaves in a plain name, `dyer s court`."""
"""How many of the rows below tell whether a row is a heading."""
MOST_ALIKE = 0.6
"""Of the columns of two headings, where the later one is the first with other words here and there."""
Labels = tuple[tuple[str, ...], ...]
Table = tuple[Labels, Sequence[Column], int]
"""The labels of a table's columns, how they were read, and by how many rows."""
Across = Mapping[tuple[str, str | None, int], Sequence[Sequence[tuple[int, str]]]]


def readers(con: duckdb.DuckDBPyConnection, stock: Mapping[str, frozenset[str]]) -> dict[str, Reader]:
    """What headings of each kind of file are read by; `stock` has what the property list calls its properties."""
    limits = queries.limits(con)
    short = dict(queries.tuples(con, "register", "heading_words"))
    known = _known(queries.tuples(con, "register", "known_headings"), short)
    terms = _terms(queries.tuples(con, "register", "known_terms"))
    asked = [(re.compile(pattern), name) for pattern, name in queries.tuples(con, "register", "heading_questions")]
    return {
        kind: Reader(
            kind,
            known.get(kind, {}),
            short,
            Contents(terms, stock),
            limits["heading_similarity_least"],
            limits["heading_confidence_least"],
            int(limits["sample_fields_least" if kind == "samples" else "heading_fields_least"]),
            asked if kind == "registers" else (),
        )
        for kind in KEYS
    }


def recognise(con: duckdb.DuckDBPyConnection, across: Across, keys: Mapping[str, Sequence[Key]]) -> Reader:
    """Make `headings` (one row a column), `columns_read` (one row a column of the lines that are read), `also_read`
    (the further fields of a column), `heading_rows` (one row a table) and `said_above` (what stands above it).

    across: which columns of the file the columns of a table stand for that is written across; keys: the keys of each
    workbook. The reader of registers comes back, for what reads their lines next.
    """
    decided = _decided(queries.tuples(con, "register", "decided_headings"))
    for name, types in MADE.items():
        queries.insert(con, name, _frame([], types), is_step=name in STEPS)
    ids = count(1)
    stock: dict[str, frozenset[str]] = {}
    for is_stock in (True, False):
        known = readers(con, stock)
        _recognise(con, known, ids, decided, across, keys, is_stock)
        if is_stock:
            stock = _stock(queries.tuples(con, "register", "stock_names"))
    return known["registers"]


def _recognise(
    con: duckdb.DuckDBPyConnection,
    readers: Mapping[str, Reader],
    ids: Iterator[int],
    decided: Mapping[tuple[str, str, str], str],
    across: Across,
    keys: Mapping[str, Sequence[Key]],
    is_stock: bool,
) -> None:
    found = {next(ids): one for one in _found(con, readers, keys, is_stock)}
    made: list[list[tuple[Any, ...]]] = [[] for _ in MADE]
    tables, shown, columns, also, said = made
    near = queries.tuples(
        con,
        "register",
        "rows_near_headings",
        table_ids=list(found),
        paths=[path for _, path, _, _ in found.values()],
        sheets=[sheet for _, _, sheet, _ in found.values()],
        first_rows=[block.first for *_, block in found.values()],
        heading_rows=[block.last for *_, block in found.values()],
    )
    lines = {
        key: until_paper([line[2:] for line in of], found[key[0]][3].last)
        for key, of in groupby(near, key=lambda row: row[:2])
    }
    below = _below_alike(found, lines)
    read_above: dict[tuple[str, str | None], list[Table]] = {}
    for (start, after), rows in lines.items():
        reader, path, sheet, block = found[start]
        for line, read in _by_bands(
            block, rows, below[path, sheet, block.labels], reader, read_above.setdefault((path, sheet), [])
        ):
            table = next(ids) if line else start
            written = _written(read, across.get((path, sheet, block.last)))
            answers = [_answer(decided, path, sheet, column, of) for column, of in zip(read, written, strict=True)]
            kept = without_repeats([_as_decided(column, answer) for column, answer in zip(read, answers, strict=True)])
            columns += [
                (table, sheet, position, column.heading, column.field, column.confidence)
                for position, column in enumerate(kept, start=1)
            ]
            shown += [
                (table, path, sheet, at + 1, heading or None, column.field, column.confidence, column.reason)
                for column, of in zip(kept, written, strict=True)
                for at, heading in of
            ]
            also += [(table, position, name) for position, column in enumerate(kept, start=1) for name in column.also]
            is_named = not fields_in(kept).isdisjoint(layout.PROPERTY)
            over = layout.above(rows, block, after, reader.context_of, reader.is_of_rooms, is_named)
            over = layout.Above(line) if line else over
            said += _said(table, over)
            tables.append((table, path, sheet, reader.kind, over.first, line or block.last))
    for (name, types), rows in zip(MADE.items(), made, strict=True):
        queries.insert(con, name, _frame(rows, types))


def _found(
    con: duckdb.DuckDBPyConnection,
    readers: Mapping[str, Reader],
    keys: Mapping[str, Sequence[Key]],
    is_stock: bool,
) -> Iterator[tuple[Reader, str, str | None, layout.Block]]:
    """The headings of all sheets, each with what it is read by."""
    top = int(queries.limits(con)["heading_search_rows"])
    candidates = queries.tuples(con, "register", "heading_candidates", is_stock=is_stock, rows=top)
    for (path, sheet, kind), group in groupby(candidates, key=lambda row: row[:3]):
        rows = rows_in_full_years([(number, cells) for *_, number, cells in group])
        reader = _with_keys(readers[kind], keys.get(path, ()))
        yield from ((reader, path, sheet, block) for block in find_headings(rows, reader))


def _with_keys(reader: Reader, keys: Sequence[Key]) -> Reader:
    """A reader that knows what the keys of a workbook tell of its columns."""
    told = {plain(key.name): key.tells for key in keys if key.tells}
    return replace(reader, explained=told) if told and reader.kind == "registers" else reader


def _by_bands(
    block: layout.Block,
    rows: Sequence[layout.Numbered],
    below: list[Sequence[str]],
    reader: Reader,
    read_above: list[Table],
) -> list[tuple[int, list[Column]]]:
    """The columns of a table, from each line on at which they mean another thing; the first line is 0. A heading that
    the sheet repeats has rows elsewhere, too, and reads as one; one that hardly differs from one of more rows above,
    which `read_above` lists, means the same where its words are the same."""
    own = [(number, cells) for number, cells in rows if number > block.last]
    parts = bands.parted(own, reader) if reader.kind == "registers" and len(own) == len(below) else []
    if len(parts) > 1:
        return bands.of_each(block, parts, below, reader)
    read = _as_above(block, read_columns(block, below, reader), len(below), read_above)
    read_above.append((block.labels, read, len(below)))
    return [(0, read)]


def _as_above(block: layout.Block, read: list[Column], n_rows: int, read_above: Sequence[Table]) -> list[Column]:
    """The columns of a table, those as they were read above whose words stood there at the same place, if most do."""
    for labels, before, n_before in read_above:
        same = [one == other and bool(one) for one, other in zip(block.labels, labels, strict=False)]
        if n_before > n_rows and len(labels) == len(block.labels) and sum(same) >= MOST_ALIKE * len(read):
            return [old if is_same else new for old, new, is_same in zip(before, read, same, strict=True)]
    return read


def _below_alike(
    found: Mapping[int, tuple[Reader, str, str | None, layout.Block]],
    lines: Mapping[tuple[int, int], Sequence[layout.Numbered]],
) -> Mapping[tuple[Any, ...], list[Sequence[str]]]:
    """The rows below each heading of a sheet; a heading that the sheet repeats reads as one."""
    below: dict[tuple[Any, ...], list[Sequence[str]]] = {}
    for (table, _), rows in lines.items():
        _, path, sheet, block = found[table]
        below.setdefault((path, sheet, block.labels), []).extend(cells for number, cells in rows if number > block.last)
    return below


def find_headings(rows: Sequence[layout.Numbered], reader: Reader) -> list[layout.Block]:
    """The headings of a sheet's tables: by known words; else the one row that misspells the most of them, or that
    stands over columns whose contents tell what they hold. None where there is no table of this kind."""
    found = [
        block for block in layout.blocks(rows, reader.field_of, reader.least_fields) if _is_enough(block, rows, reader)
    ]
    if found:
        return found
    blocks = [layout.block_at(rows, index, index) for index in range(len(rows))]
    guesses = [
        (len(fields), -index, block)
        for index, block in enumerate(blocks)
        if len(fields := fields_in(read_columns(block, _below(rows, block), reader))) >= reader.least_fields
        and _is_words(rows[index][1])
        and _is_enough(block, rows, reader)
    ]
    return [max(guesses, key=lambda guess: guess[:2])[2]] if guesses else []


def _is_enough(block: layout.Block, rows: Sequence[layout.Numbered], reader: Reader) -> bool:
    read = read_columns(block, _below(rows, block), reader)
    fields = fields_in(read)
    return any(name in fields for name in KEYS[reader.kind]) or any(column.reason == NOBODY_IN for column in read)


def _is_words(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell.strip()]
    return len(filled) > 2 and len(set(filled)) == len(filled) and not any(map(layout.VALUE.match, filled))


def _below(rows: Sequence[layout.Numbered], block: layout.Block) -> list[Sequence[str]]:
    return list(islice((cells for number, cells in rows if number > block.last), TELLING_ROWS))


def _written(
    read: Sequence[Column], across: Sequence[Sequence[tuple[int, str]]] | None
) -> Sequence[Sequence[tuple[int, str]]]:
    """The columns of the file that each column stands for: itself, or those of a table written across."""
    if across is None:
        return [((at, column.heading),) for at, column in enumerate(read)]
    return [*across, *[()] * (len(read) - len(across))]


def _answer(
    decided: Mapping[tuple[str, str, str], str],
    path: str,
    sheet: str | None,
    column: Column,
    of: Sequence[tuple[int, str]],
) -> str | None:
    """What a person said of a column, by its heading or one of those that it stands for."""
    headings = (column.heading, *(heading for _, heading in of))
    return next((answer for text in headings if (answer := decided.get((path, sheet or "", plain(text))))), None)


def _as_decided(column: Column, answer: str | None) -> Column:
    if answer is None:
        return column
    return replace(column, field=None if answer == NOT_NEEDED else answer, confidence=1.0, reason="a person decided it")


def _said(table: int, over: layout.Above) -> list[tuple[Any, ...]]:
    pairs = [(name, value) for name, value in over.labelled.items()]
    lines = [(None, text) for text in over.unlabelled]
    return [(table, nth, name, value) for nth, (name, value) in enumerate([*pairs, *lines], start=1)]


def _known(rows: list[tuple[str, str, str]], short: Mapping[str, str]) -> dict[str, dict[str, list[str]]]:
    known: dict[str, dict[str, list[str]]] = {}
    for kind, name, heading in rows:
        known.setdefault(kind, {}).setdefault(plain(heading), []).append(name)
    for fields in known.values():
        fields |= {in_full(heading, short): meant for heading, meant in reversed(fields.items())} | fields
    return known


def _terms(rows: list[tuple[str, str, str]]) -> dict[str, dict[str, str]]:
    terms: dict[str, dict[str, str]] = {}
    for name, term, written in rows:
        terms.setdefault(name, {})[plain(written)] = term
    return terms


def _decided(rows: list[tuple[str, str, str, str]]) -> dict[tuple[str, str, str], str]:
    return {(path, sheet, plain(heading)): field for path, sheet, heading, field in rows}


def _stock(rows: list[tuple[str, str]]) -> dict[str, frozenset[str]]:
    """What the property list calls its properties, by field; names with an apostrophe also without: `Dyers Court`."""
    named: dict[str, set[str]] = {}
    for name, value in rows:
        named.setdefault(name, set()).update((value, APOSTROPHE.sub("s", value)))
    return {name: frozenset(values) for name, values in named.items()}


def _frame(rows: list[tuple[Any, ...]], types: dict[str, str]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=list(types)).astype(types)
