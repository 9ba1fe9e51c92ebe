"""Delimited text line by line, deciding on each quote.

A cell is quoted if it begins with a quotation mark and its closing mark stands right before a delimiter or the end of a
line; a doubled mark inside is one mark. Marks anywhere else (6" pipe) are text. A quoted cell may run over line breaks,
but rather too few lines are joined than rows swallowed: the joined lines are taken apart again where they are more than
`quoted_lines_most`, where the cell does not close as above, or, in tables of four columns and more, where the lines
look like rows of their own: each as wide as the others in the file, or one of them at least that wide while the joined
row is not. A cell that is one mark and nothing else repeats the cell above, in a line that so read is as wide as the
others. In lines so left, each cell that is not quoted in order is read without quoting; should that give another width
than usual, and reading a mark that no delimiter follows as text inside the quoted cell gives a nearer one, that reading
is taken.
"""

import re
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import chain

from pipelines.sources.rows import Limits, UnreadableError

NARROW = 3
"""In tables of so many columns and fewer, lines that a quoted cell joins may always be one row."""


@dataclass(frozen=True)
class Dialect:
    """How a text is laid out: its delimiter, the usual number of cells of a row, and whether its first line names
    the delimiter (`sep=;`; spreadsheet programs take it for no row, so it counts for none)."""

    mark: str
    usual: int
    names_mark: bool = False


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
    """A cell in quotes, in which `inside` may stand, or else one without, and the delimiter after it. What is looked
    ahead for is not tried again otherwise, so that no line takes long; Python 3.11.2 misreads possessive repeats."""
    edge = re.escape(mark)
    return re.compile(rf'(?:"(?=((?:[^"]+|{inside})*))\1"|([^{edge}]*)){edge}')


def _out_of_order(line: str, dialect: Dialect) -> list[str]:
    """The cells of a line whose quotes are not in order: the reading nearer to the usual width."""
    mark = dialect.mark
    readings = (
        [quoted.replace('""', '"') if quoted else bare for quoted, bare in _cell(mark, inside).findall(line + mark)]
        for inside in ('""', f'""|"(?!{re.escape(mark)})')
    )
    return min(readings, key=lambda row: abs(len(row) - dialect.usual) if dialect.usual > 1 else 0)
