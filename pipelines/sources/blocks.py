"""Delimited text by whole blocks: cells are cut where delimiters and line ends stand outside quotes, all at once.

Only texts whose quotes and line ends are all in order are read so; for any other the answer is None.
"""

from collections.abc import Iterable
from itertools import chain

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from pipelines.sources.careful import NARROW, Dialect
from pipelines.sources.rows import NO_NUL, NUMBERED, Limits, UnreadableError

BLOCK_BYTES = 1 << 22
"""The longest row that is read so; also how much of a file is read at once."""
QUOTE, NEWLINE, RETURN = b'"\n\r'

Positions = npt.NDArray[np.int64]


def blocks(texts: Iterable[bytes], dialect: Dialect, limits: Limits) -> list[pa.Table] | None:
    """All rows of a text in UTF-8 that comes by blocks, or None where a quote or a line end is out of order."""
    found: list[pa.Table] = []
    rest, first = b"", 1
    is_started = not dialect.names_mark
    for block in chain(texts, (b"",)):
        data = (rest + block).replace(b"\0", NO_NUL.encode())
        if not block and data and not data.endswith(b"\n"):
            data += b"\n"
        if not is_started and b"\n" in data:
            data, is_started = data.partition(b"\n")[2], True
        read = _block(data, dialect, limits)
        if read is None:
            return None
        cells, used = read
        rest = data[used:]
        if len(rest) > BLOCK_BYTES or (not block and rest):
            return None
        found += _numbered(cells, first, limits)
        first += len(cells)
    return found


def _block(data: bytes, dialect: Dialect, limits: Limits) -> tuple[pa.ListArray, int] | None:
    """The whole rows of a block, and how many bytes they take."""
    held = data[:-1] if data.endswith(b"\r") else data
    if held.count(b"\r") != held.count(b"\r\n"):
        return None
    codes = np.frombuffer(held, np.uint8)
    mark = ord(dialect.mark)
    edges = np.flatnonzero((codes == mark) | (codes == NEWLINE))
    quotes = np.flatnonzero(codes == QUOTE) if b'"' in held else edges[:0]
    if len(quotes):
        outside = (np.searchsorted(quotes, edges) & 1) == 0
        inner, edges = edges[~outside], edges[outside]
    else:
        inner = edges[:0]
    ends = np.flatnonzero(codes[edges] == NEWLINE)
    if not len(ends):
        return pa.array([], pa.list_(pa.string())), 0
    edges = edges[: ends[-1] + 1]
    used = int(edges[-1]) + 1
    quotes, inner = quotes[quotes < used], inner[inner < used]
    if len(quotes) and not _are_in_order(codes, quotes, mark):
        return None
    if len(inner) and not _are_rows(codes[:used], inner, edges[ends], dialect, limits):
        return None
    if np.diff(edges[ends], prepend=-1).max() > limits["row_characters_most"]:
        return None
    return _lists(held, codes, edges, ends, quotes, dialect), used


def _are_in_order(codes: npt.NDArray[np.uint8], quotes: Positions, mark: int) -> bool:
    """Whether each odd quote begins a cell or follows a quote, and each even one ends a cell or precedes a quote; none
    that stands alone between two delimiters."""
    opening, closing = quotes[0::2], quotes[1::2]
    before, after = codes[opening - 1], codes[closing + 1]
    begins = (opening == 0) | (before == mark) | (before == NEWLINE) | (before == QUOTE)
    ends = (after == mark) | (after == NEWLINE) | (after == RETURN) | (after == QUOTE)
    alone = (before == mark) & (codes[opening + 1] == mark)
    return bool(begins.all() and ends.all() and not alone.any())


def _are_rows(
    codes: npt.NDArray[np.uint8], inner: Positions, ends: Positions, dialect: Dialect, limits: Limits
) -> bool:
    """Whether no line that goes on a quoted cell might be a row of its own."""
    broken = inner[codes[inner] == NEWLINE]
    if not len(broken):
        return True
    lines = np.flatnonzero(codes == NEWLINE)
    if np.diff(np.searchsorted(lines, ends), prepend=-1).max() > limits["quoted_lines_most"]:
        return False
    marks = np.diff(np.searchsorted(np.flatnonzero(codes == ord(dialect.mark)), lines), prepend=0)
    continuing = marks[np.searchsorted(lines, broken) + 1]
    return bool(dialect.usual <= NARROW or (continuing + 1 < dialect.usual).all())


def _lists(
    data: bytes,
    codes: npt.NDArray[np.uint8],
    edges: Positions,
    ends: Positions,
    quotes: Positions,
    dialect: Dialect,
) -> pa.ListArray:
    """Cells as text, by row: what stands between the edges, without the marks that quote it."""
    lengths = np.diff(edges, prepend=-1) - 1
    used = int(edges[-1]) + 1
    breaks = edges[ends]
    returns = breaks[codes[breaks - 1] == RETURN] - 1
    lengths[ends] -= codes[breaks - 1] == RETURN
    if len(quotes):
        opening, closing = quotes[0::2], quotes[1::2]
        dropped = np.concatenate([opening[(opening == 0) | (codes[opening - 1] != QUOTE)], closing])
        lengths -= np.bincount(np.searchsorted(edges, dropped), minlength=len(edges))
        keeps = np.ones(used, dtype=bool)
        for position in (edges, returns, dropped):
            keeps[position] = False
        values = codes[:used][keeps].tobytes()
    else:
        values = data[:used].translate(None, dialect.mark.encode() + b"\r\n")
    starts = np.concatenate([[0], np.cumsum(lengths)]).astype(np.int32)
    cells = pa.StringArray.from_buffers(len(edges), pa.py_buffer(starts), pa.py_buffer(values))
    return pa.ListArray.from_arrays(np.concatenate([[0], ends + 1]).astype(np.int32), cells)


def _numbered(cells: pa.ListArray, first: int, limits: Limits) -> list[pa.Table]:
    """Rows with their numbers, the blank ones left out. Raises UnreadableError for what is past a limit."""
    if not len(cells):
        return []
    offsets = cells.offsets.to_numpy()
    if np.diff(offsets).max() > limits["columns_most"]:
        raise UnreadableError("too_many_columns", str(limits["columns_most"]))
    _, starts, texts = cells.values.buffers()
    spans = np.frombuffer(starts, np.int32)
    _check_longest(cells.values, spans, limits["cell_characters_most"])
    is_kept = _say_something(np.frombuffer(texts, np.uint8), spans[offsets])
    numbers = np.arange(first, first + len(cells), dtype=np.int32)
    whole = pa.table([pa.array(numbers), cells], schema=NUMBERED)
    return [whole if is_kept.all() else whole.filter(pa.array(is_kept))]


def _check_longest(cells: pa.StringArray, starts: npt.NDArray[np.int32], most: int) -> None:
    sizes = np.diff(starts)
    if sizes.max() > most and any(len(cells[int(at)].as_py()) > most for at in np.flatnonzero(sizes > most)):
        raise UnreadableError("cells_too_large", str(most))


def _say_something(codes: npt.NDArray[np.uint8], spans: npt.NDArray[np.int32]) -> npt.NDArray[np.bool_]:
    """Which rows hold anything but blanks: most begin with a letter, the others are looked at one by one."""
    is_long = np.diff(spans) > 0
    if not is_long.any():
        return is_long
    leading = codes[np.minimum(spans[:-1], len(codes) - 1)]
    says = is_long & (leading > ord(" ")) & (leading < 128)
    for at in np.flatnonzero(is_long & ~says):
        says[at] = not codes[spans[at] : spans[at + 1]].tobytes().decode().isspace()
    return says
