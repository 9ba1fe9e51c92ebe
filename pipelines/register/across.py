"""Tables written across: rows that hold several items side by side, taken apart into a line for each.

A home in one row, with `item1_room, item1_product, item2_room ...` or the same headings again and again; and grids,
with rooms down and materials across or the other way about, whose cells say what was found there. The rows of the file
stay as they are, in `raw_rows`; what reads a register sees `spread_rows`, lines of a table that has one item a row.
"""

from collections.abc import Iterator, Mapping, Sequence, Set
from itertools import groupby

import duckdb
import pyarrow as pa

from pipelines import queries
from pipelines.register import (
    findings,
    grids,
    groups,
    homes,
    layout,
    listings,
    messages,
    numbered,
    sentences,
    stacked,
    titled,
    under_materials,
)
from pipelines.register.key import Key
from pipelines.register.keys import key_within
from pipelines.register.layout import Source
from pipelines.register.order import order_said
from pipelines.register.reader import Reader
from pipelines.register.remarks import TOTALS
from pipelines.register.shorthand import CROSSES, TICKS, Shorthand

Table = (
    groups.Groups
    | grids.Grid
    | homes.Homes
    | numbered.Numbered
    | sentences.Sentences
    | findings.Findings
    | stacked.Stacked
    | titled.Titled
    | under_materials.UnderMaterials
)
REPEATED = (sentences.Sentences, stacked.Stacked)
"""Tables that a sheet may have several of."""
SPREAD = pa.schema(
    [
        *(("path", pa.string()), ("sheet", pa.string()), ("row_number", pa.int32()), ("source_row", pa.int32())),
        *(("is_grid", pa.bool_()), ("cells", pa.list_(pa.string()))),
    ]
)


Spread = tuple[list[dict[str, object]], dict[tuple[str, str | None, int], Sequence[Sequence[Source]]]]
"""Lines, and by path, sheet and number of each heading among them the columns of the file behind each of theirs."""


def take_apart(
    con: duckdb.DuckDBPyConnection, reader: Reader, keys: Mapping[str, Sequence[Key]]
) -> Mapping[tuple[str, str | None, int], Sequence[Sequence[Source]]]:
    """Make `spread_rows`: the lines of all sheets of registers with a table written across.

    What comes back are, by path, sheet and heading among the lines, the columns of the file behind each of a table.
    """
    top = int(queries.limits(con)["heading_search_rows"])
    tops = groupby(queries.tuples(con, "register", "rows_to_spread", rows=top, paths=None), key=lambda row: row[:2])
    texts: set[tuple[str, str | None]] = set()
    sheets: set[tuple[str, str | None]] = set()
    for at, group in tops:
        rows = [(number, cells) for *_, number, cells in group]
        is_listing = listings.may_be(rows)
        is_table = not is_listing and bool(find(rows, reader, ()))
        (sheets if is_table else texts if is_listing or messages.may_be(rows) else set()).add(at)
    spread, found = _listed(con, texts, reader)
    paths = sorted({path for path, _ in sheets})
    whole = queries.tuples(con, "register", "rows_to_spread", rows=None, paths=paths) if paths else []
    for (path, sheet), group in groupby(whole, key=lambda row: row[:2]):
        if (path, sheet) not in sheets:
            continue
        rows = [(number, cells) for *_, number, cells in group]
        tables = find(rows, reader, keys.get(path, ()))
        for line, source, table, cells, is_heading in lines_of(rows, tables):
            is_grid = table is not None and table.is_grid
            spread.append(dict(zip(SPREAD.names, (path, sheet, line, source, is_grid, cells), strict=True)))
            if is_heading and table:
                found[path, sheet, line] = [sources for _, sources in table.headings]
    queries.insert(con, "spread_rows", pa.Table.from_pylist(spread, schema=SPREAD), is_step=True)
    return found


def _listed(con: duckdb.DuckDBPyConnection, texts: Set[tuple[str, str | None]], reader: Reader) -> Spread:
    """The lines of texts without columns; one that is longer than people write is left alone."""
    spread: list[dict[str, object]] = []
    found: dict[tuple[str, str | None, int], Sequence[Sequence[Source]]] = {}
    longest = int(queries.limits(con)["listing_rows_most"])
    paths = sorted({path for path, _ in texts})
    rows = queries.tuples(con, "register", "rows_to_spread", rows=longest + 1, paths=paths) if paths else []
    for (path, sheet), group in groupby(rows, key=lambda row: row[:2]):
        lines = _lines_of_text([row[2:] for row in group], reader, longest) if (path, sheet) in texts else []
        spread += [dict(zip(SPREAD.names, (path, sheet, *line, True, cells), strict=True)) for line, cells in lines]
        found |= {(path, sheet, line[0]): listings.SOURCES for line, cells in lines if cells == listings.COLUMNS}
    return spread, found


def _lines_of_text(
    rows: Sequence[layout.Numbered], reader: Reader, longest: int
) -> list[tuple[tuple[int, int], list[str]]]:
    """The lines of notes of homes one below another, or of messages."""
    if listings.may_be(rows):
        return listings.read(rows, reader, longest)
    return messages.read(rows, reader.contents.terms, longest)


def lines_of(
    rows: Sequence[layout.Numbered], tables: Sequence[Table]
) -> Iterator[tuple[int, int, Table | None, list[str], bool]]:
    """The lines of a sheet: number, row of the file, table, cells, and whether it is a heading.

    The last row of a heading is that of the lines, a row without an item stays as it is, blank rows stay between.
    """
    table: Table | None = None
    coming = list(tables)
    line, before = 0, 0
    for index, (source, cells) in enumerate(rows):
        line, before = line + source - before, source
        if coming and coming[0].first <= index < coming[0].last:
            yield line, source, None, [], False
            continue
        if coming and index == coming[0].last:
            table = coming.pop(0)
            yield line, source, table, [text for text, _ in table.headings], True
            continue
        filled = [cell for cell in cells if cell.strip()]
        is_thin = table is None or TOTALS.match(filled[0]) or (len(filled) == 1 and not table.is_row(filled[0]))
        is_thin = is_thin or (isinstance(table, REPEATED) and table.is_between(filled))
        lines = [list(cells)] if is_thin or table is None else list(table.lines(cells))
        for nth, said in enumerate(lines):
            line += nth > 0
            yield line, source, None if is_thin else table, said, False


def find(rows: Sequence[layout.Numbered], reader: Reader, keys: Sequence[Key]) -> list[Table]:
    """The tables written across of a sheet, in their order; `first` and `last` are indices of `rows`."""
    marks = {cell.strip().lower() for _, cells in rows for cell in cells}
    own = key_within(cells for _, cells in rows)
    shorthand = Shorthand(
        reader.contents.terms,
        [*keys, *own],
        bool(marks & (TICKS - {"y", "yes"})) and bool(marks & CROSSES),
        order=order_said(keys, reader.fields_of),
    )
    found: list[Table] = []
    for index in range(len(rows)):
        if found and index <= found[-1].last:
            continue
        if under := _under_titles(rows, index, reader, shorthand):
            found.append(under)
        elif table := _widest(rows, index, reader, shorthand, found[-1].last + 1 if found else 0):
            found.append(table)
        elif told := stacked.find(*_at(rows, index), reader, shorthand):
            found.append(told)
        elif (not found or isinstance(found[-1], REPEATED)) and layout.is_heading(
            rows[index][1], reader.field_of, reader.least_fields
        ):
            told = next(
                filter(None, (of.find(*_at(rows, index), reader, shorthand) for of in (sentences, findings))), None
            )
            if apart := told or _ordinary(rows, index, reader):
                found.append(apart)
            else:
                break  # an ordinary table
    return found


def _under_titles(
    rows: Sequence[layout.Numbered], index: int, reader: Reader, shorthand: Shorthand
) -> titled.Titled | None:
    """The table whose heading this row is, with titles of groups of its columns right above."""
    if not index or rows[index - 1][0] != rows[index][0] - 1:
        return None
    return titled.find(rows[index - 1][1], rows[index][1], index, reader, shorthand)


def _at(rows: Sequence[layout.Numbered], index: int) -> tuple[Sequence[Sequence[str]], int, Sequence[Sequence[str]]]:
    """The labels of a row as a heading, its index, and the rows below it."""
    return layout.block_at(rows, index, index).labels, index, [cells for _, cells in rows[index + 1 :]]


def _ordinary(
    rows: Sequence[layout.Numbered], index: int, reader: Reader
) -> homes.Homes | numbered.Numbered | under_materials.UnderMaterials | None:
    """The ordinary table with lines of materials between its rows, or of which some rows name several homes or
    findings, with the rows of its heading."""
    block = next(
        iter(layout.blocks(rows[: index + layout.HEADING_ROWS_MOST], reader.field_of, reader.least_fields)), None
    )
    if block is None:
        return None
    at = {number: nth for nth, (number, _) in enumerate(rows)}
    below = [cells for _, cells in rows[at[block.last] + 1 :]]
    table = block.labels, at[block.first], at[block.last], below, reader
    return under_materials.find(*table) or homes.find(*table) or numbered.find(*table)


def _widest(
    rows: Sequence[layout.Numbered], index: int, reader: Reader, shorthand: Shorthand, least: int
) -> Table | None:
    """The table whose heading ends at a row, with one or two rows above that join it where that names more columns."""
    if sum(1 for cell in rows[index][1] if cell.strip()) < grids.FEWEST_COLUMNS:
        return None
    below = [cells for _, cells in rows[index + 1 :]]
    first = index
    found: list[Table] = []
    while True:
        labels = layout.block_at(rows, index, first).labels
        side_by_side = groups.find(labels, first, index, below, reader, shorthand)
        if table := side_by_side or grids.find(labels, first, index, below, reader, shorthand):
            found.append(table)
        first -= 1
        if first < least or index - first >= layout.HEADING_ROWS_MOST or not layout.joins(rows, first):
            break

    def n_columns(table: Table) -> tuple[int, int]:
        sources = [source for _, sources in table.headings for source in sources]
        return len(sources), len({text for _, text in sources})

    def names_rooms(table: Table) -> bool:
        return isinstance(table, grids.Grid) and table.has_rooms

    return max(
        found,
        key=lambda table: (*n_columns(table), table.is_numbered, names_rooms(table), table.first),
        default=None,
    )
