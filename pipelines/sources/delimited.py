"""Delimited text: any usual mark between the cells, any usual encoding, quotes as they come.

A file whose quotes are all in order is read by whole blocks (`blocks`). Any other is read line by line (`careful`),
which is slower and decides on each quote. Both give the same rows where both can read.

How the balance of quotes is decided. A cell is quoted if it begins with a quotation mark and its closing mark stands
right before a delimiter or the end of a line; a doubled mark inside is one mark. Marks anywhere else (6" pipe) are
text. A quoted cell may run over line breaks, but rather too few lines are joined than rows swallowed: the joined
lines are taken apart again where they are more than `quoted_lines_most`, where the cell does not close as above, or,
in tables of four columns and more, where the lines look like rows of their own: each as wide as the others in the
file, or one of them at least that wide while the joined row is not. A cell that is one mark and nothing else repeats
the cell above, in a line that so read is as wide as the others. In lines so left, each cell that is not quoted in order
is read without quoting; should that give another width than usual, and reading a mark that no delimiter follows as text
inside the quoted cell gives a nearer one, that reading is taken.
"""

import re
from codecs import getincrementaldecoder
from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import chain
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from pipelines.sources.contents import HEAD_BYTES, encodings
from pipelines.sources.rows import NO_NUL, NUMBERED, Limits, UnreadableError, numbered, table

MARKS = ",;\t|^~"
BLOCK_BYTES = 1 << 22
HEAD_LINES = 50
NARROW = 3
NO_MARK = "\0"
"""What stands in no text, so that each line is one cell."""
LEAST_INDENTED, LEAST_ALIKE = 0.25, 0.5
QUOTE, NEWLINE, RETURN = b'"\n\r'
BREAK = re.compile(r"\r\n|\n|\r")
MARK_NAMED = re.compile(r'"?sep=([!#-/:-@\[-`{-~\t])"?', re.IGNORECASE)

Positions = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Dialect:
    """How a text is laid out: its delimiter, the usual number of cells of a row, and whether its first line names
    the delimiter (`sep=;`; spreadsheet programs take it for no row, so it counts for none)."""

    mark: str
    usual: int
    names_mark: bool = False


def read(file: Path, limits: Limits) -> list[pa.Table]:
    """All rows of a text. Raises UnreadableError."""
    with file.open("rb") as opened:
        head = opened.read(HEAD_BYTES)
    tried = encodings(head)
    dialect = dialect_of(head.decode(tried[0], "replace").lstrip("\ufeff"), limits)
    for encoding in tried:
        try:
            found = blocks(_utf8(file, encoding), dialect, limits)
            if found is None:
                found = table(numbered(_careful_file(file, encoding, dialect, limits)), limits)
            return found
        except UnicodeDecodeError as error:
            fault = error
    raise UnreadableError("cut_off", f"a text in {fault.encoding}: {fault.reason}") from fault


def dialect_of(head: str, limits: Limits) -> Dialect:
    """By `sep=`, else the mark that divides the first lines most often into the same number of cells."""
    lines = BREAK.split(head)[:HEAD_LINES]
    named = MARK_NAMED.fullmatch(lines[0])
    if named:
        return Dialect(named[1], _usual(lines[1:], named[1], limits)[1], names_mark=True)
    found = {mark: _usual(lines, mark, limits) for mark in MARKS if mark in head}
    if _is_running_text(lines, found):
        return Dialect(NO_MARK, 1)
    best = max(found, key=lambda mark: found[mark][0], default=",")
    return Dialect(best, found[best][1] if found else 1)


def _is_running_text(lines: Sequence[str], found: Mapping[str, tuple[int, int]]) -> bool:
    """Whether lines are no rows of cells: many are indented, and no mark divides half of them alike."""
    filled = [line for line in lines if line.strip()]
    n_indented = sum(line[:2] in ("  ", "\t ") or (line[:1] == "\t" and "\t" not in line.strip()) for line in filled)
    n_alike = max((score // (width - 1) for score, width in found.values() if width > 1), default=0)
    return n_indented >= LEAST_INDENTED * len(filled) > 0 and n_alike < LEAST_ALIKE * len(filled)


def _usual(lines: Sequence[str], mark: str, limits: Limits) -> tuple[int, int]:
    """How many delimiters stand in the rows of the usual width, and that width; by rows that repeat no cell, if any."""
    plain = [line for line in lines if '"' not in line.split(mark)] or lines
    rows = careful((f"{line}\n" for line in plain), Dialect(mark, 0), limits)
    widths = [len(row) for row in rows if len(row) > 1]
    return max(((widths.count(width) * (width - 1), width) for width in sorted(set(widths))), default=(0, 1))


def _careful_file(file: Path, encoding: str, dialect: Dialect, limits: Limits) -> Iterator[list[str]]:
    with file.open(encoding=encoding, newline="") as opened:
        lines = iter(partial(opened.readline, limits["row_characters_most"] + 1), "")
        if dialect.names_mark:
            next(lines)
        yield from careful(lines, dialect, limits)


def careful(lines: Iterable[str], dialect: Dialect, limits: Limits) -> Iterator[list[str]]:
    """The rows of lines that keep their line ends. Raises UnreadableError for a line that is too long."""
    ahead, waiting = iter(lines), deque[str]()
    while line := waiting.popleft() if waiting else next(ahead, ""):
        if len(line) > limits["row_characters_most"]:
            raise UnreadableError("row_too_large", str(limits["row_characters_most"]))
        whole = _without_end(line)
        if '"' not in whole:
            yield whole.split(dialect.mark)
            continue
        row, is_open = _in_order(whole, dialect.mark)
        if row is None or len(row) != dialect.usual:
            row = _ditto(whole, dialect) or row
        if is_open and row is None:
            row = _over_lines(line, ahead, waiting, dialect, limits)
        yield row or _out_of_order(whole, dialect)


def _ditto(line: str, dialect: Dialect) -> list[str] | None:
    """The cells of a line in which some are one mark and nothing else, if it is so as wide as the others."""
    cells = line.split(dialect.mark)
    if '"' not in cells[:-1] or len(cells) != dialect.usual:
        return None
    return [cell if cell == '"' else _unquoted(cell) for cell in cells]


def _unquoted(cell: str) -> str:
    return cell[1:-1].replace('""', '"') if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell


def _without_end(line: str) -> str:
    return line[:-2] if line.endswith("\r\n") else line[:-1] if line.endswith(("\n", "\r")) else line


def _over_lines(
    line: str, ahead: Iterator[str], waiting: deque[str], dialect: Dialect, limits: Limits
) -> list[str] | None:
    """The row that begins with a line whose last cell is open, if it is closed well further on; else `waiting` keeps
    what was read in vain."""
    taken, size = [line], len(line)
    for following in chain(tuple(waiting), ahead):
        if len(taken) > len(waiting):
            waiting.append(following)
        taken.append(following)
        size += len(following)
        if len(taken) > limits["quoted_lines_most"] or size > limits["row_characters_most"]:
            return None
        if following.count('"') % 2:
            row, _ = _in_order(_without_end("".join(taken)), dialect.mark)
            if row is None or not _is_one_row(row, taken, dialect):
                return None
            for _ in taken[1:]:
                waiting.popleft()
            return row
    return None


def _is_one_row(row: list[str], lines: list[str], dialect: Dialect) -> bool:
    """Whether lines that quotes join are rather one row than several."""
    if dialect.usual <= NARROW:
        return True
    widths = [line.count(dialect.mark) + 1 for line in lines]
    if len(row) == dialect.usual:
        return any(width != dialect.usual for width in widths)
    return max(widths[1:]) < dialect.usual


def _in_order(line: str, mark: str) -> tuple[list[str] | None, bool]:
    """The cells of a line whose quotes are all in order, else None, and whether the last one may go on below."""
    cells: list[str] = []
    parts: list[str] = []
    quotes = 0
    for part in line.split(mark):
        if not quotes and not part.startswith('"'):
            cells.append(part)
            continue
        parts.append(part)
        quotes += part.count('"')
        if quotes % 2 == 0:
            cell = mark.join(parts)
            inside = cell[1:-1].replace('""', "")
            if not cell.endswith('"') or '"' in inside:
                return None, False
            cells.append(cell[1:-1].replace('""', '"'))
            parts, quotes = [], 0
    if not quotes:
        return cells, False
    return None, '"' not in mark.join(parts)[1:].replace('""', "")


@cache
def _cell(mark: str, inside: str) -> re.Pattern[str]:
    """A cell in quotes, in which `inside` may stand, or else one without, and the delimiter after it."""
    edge = re.escape(mark)
    return re.compile(rf'(?:"((?:[^"]+|{inside})*+)"|([^{edge}]*)){edge}')


def _out_of_order(line: str, dialect: Dialect) -> list[str]:
    """The cells of a line whose quotes are not in order: the reading nearer to the usual width."""
    mark = dialect.mark
    readings = (
        [quoted.replace('""', '"') if quoted else bare for quoted, bare in _cell(mark, inside).findall(line + mark)]
        for inside in ('""', f'""|"(?!{re.escape(mark)})')
    )
    return min(readings, key=lambda row: abs(len(row) - dialect.usual) if dialect.usual > 1 else 0)


def _utf8(file: Path, encoding: str) -> Iterator[bytes]:
    """The bytes of a text in UTF-8, by blocks. Raises UnicodeDecodeError."""
    decoder = getincrementaldecoder(encoding)()
    with file.open("rb") as opened:
        yield decoder.decode(opened.read(BLOCK_BYTES)).encode()
        while block := opened.read(BLOCK_BYTES):
            is_plain = block.isascii() and not decoder.getstate()[0] and not encoding.startswith("utf-16")
            yield block if is_plain else decoder.decode(block).encode()
        yield decoder.decode(b"", True).encode()


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
