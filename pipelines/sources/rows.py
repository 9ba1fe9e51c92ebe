"""What every reader gives: sheets of numbered rows of text cells, in Arrow, or the reason why not."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from itertools import islice
from typing import Any

import pyarrow as pa

BATCH_ROWS = 5_000
NO_NUL = "\ufffd"
"""What stands for a NUL, which no text holds; a file with some is damaged, and its rows are read all the same."""
NUMBERED = pa.schema([("row_number", pa.int32()), ("cells", pa.list_(pa.string()))])
RAW_ROWS = pa.schema([("path", pa.string()), ("sheet", pa.string()), *NUMBERED])

Row = tuple[int, list[str]]
Limits = dict[str, int]


class UnreadableError(Exception):
    """This file cannot be read; args are a code of reference/set_aside_reasons.csv and its value."""


@dataclass(frozen=True)
class Sheet:
    """One sheet of a file, `name` null for a file without sheets: its rows that are not blank, as `NUMBERED`."""

    name: str | None = None
    is_hidden: bool = False
    tables: list[pa.Table] = field(default_factory=list)
    struck: frozenset[int] = frozenset()
    """The numbers of the rows that are struck through."""
    merged: frozenset[tuple[int, int]] = frozenset()
    """The cells over which one above is merged, by row and column from 1."""

    @property
    def rows(self) -> pa.Table:
        """All rows in one table."""
        return pa.concat_tables([NUMBERED.empty_table(), *self.tables])


def table(rows: Iterable[Row], limits: Limits) -> list[pa.Table]:
    """Numbered rows as Arrow tables, the blank ones left out. Raises UnreadableError for what is past a limit."""
    kept = _checked(rows, limits)
    return [_arrow(batch) for batch in iter(lambda: list(islice(kept, BATCH_ROWS)), [])]


def _checked(rows: Iterable[Row], limits: Limits) -> Iterator[Row]:
    """The rows that say something."""
    widest, longest = limits["columns_most"], limits["cell_characters_most"]
    for number, cells in rows:
        together = "".join(cells)
        if not together or together.isspace():
            continue
        if len(cells) > widest:
            raise UnreadableError("too_many_columns", str(widest))
        if len(together) > longest and max(map(len, cells)) > longest:
            raise UnreadableError("cells_too_large", str(longest))
        yield number, [cell.replace("\0", NO_NUL) for cell in cells] if "\0" in together else cells


def _arrow(batch: list[Row]) -> pa.Table:
    numbers, cells = zip(*batch, strict=True)
    return pa.table([pa.array(numbers, pa.int32()), pa.array(cells, pa.list_(pa.string()))], schema=NUMBERED)


def text(value: Any) -> str:
    """A typed value as a person would type it: whole numbers without a point, 0.3 rather than 0.30000000000000004,
    2026-10-01 or 2026-10-01 10:30:00, 26:30:00 for a duration, TRUE; nothing for what is not there."""
    for kind, write in WRITTEN:
        if isinstance(value, kind):
            return write(value)
    return str(value)


def _number(value: float) -> str:
    if value.is_integer():
        return str(int(value))
    # Spreadsheet programs keep and show 15 significant digits; what stands behind them is noise of the binary form.
    return f"{Decimal(f'{value:.15g}'):f}"


def _moment(value: datetime) -> str:
    # A spreadsheet's moment is a fraction of a day, so 10:30 may come as 10:29:59.999997.
    if value.microsecond and value < datetime.max.replace(tzinfo=value.tzinfo) - timedelta(seconds=1):
        value = (value + timedelta(microseconds=500_000)).replace(microsecond=0)
    return value.date().isoformat() if value.time() == time() else value.isoformat(" ", "seconds")


def _duration(value: timedelta) -> str:
    seconds = round(value.total_seconds())
    hours, left = divmod(abs(seconds), 3600)
    return f"{'-' if seconds < 0 else ''}{hours}:{left // 60:02}:{left % 60:02}"


WRITTEN: tuple[tuple[type | tuple[type, ...], Callable[[Any], str]], ...] = (
    (str, str),
    (type(None), lambda _: ""),
    (bool, lambda value: str(value).upper()),
    (float, _number),
    (datetime, _moment),
    (date, date.isoformat),
    (time, lambda value: value.isoformat("seconds")),
    (timedelta, _duration),
    (bytes, lambda value: value.decode("utf-8", "replace")),
)


def numbered(rows: Iterable[list[str]]) -> Iterator[Row]:
    """Rows with the number that a spreadsheet program shows."""
    return enumerate(rows, start=1)
