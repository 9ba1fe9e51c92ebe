"""Files to raw rows: every row of every file as text, with its path, sheet and row number.

Nothing is interpreted here. What cannot be read is named in `refused_files` and the rest goes on.
"""

import csv
import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import islice
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd
import pyarrow as pa
from python_calamine import CalamineError, CalamineWorkbook

from pipelines import queries
from pipelines.errors import FolderError

KINDS = ("stock", "registers", "samples", "works", "places", "parameters", "corrections")
TABLES_OF = ("stock", "registers", "works", "parameters")
DELIMITED = (".csv", ".tsv", ".txt")
WORKBOOKS = (".xlsx", ".xls", ".ods")
BATCH_ROWS = 5_000
RAW_ROWS = pa.schema(
    [
        ("path", pa.string()),
        ("sheet", pa.string()),
        ("row_number", pa.int32()),
        ("cells", pa.list_(pa.string())),
    ]
)

Row = tuple[int, list[str]]


@dataclass(frozen=True)
class SourceFile:
    """A file of the portfolio: `path` is relative with forward slashes, `sha256` is of its bytes."""

    location: Path
    path: str
    kind: str
    sha256: str

    @property
    def suffix(self) -> str:
        return self.location.suffix.lower()


class UnreadableError(Exception):
    """This file cannot be read; args are a code of reference/set_aside_reasons.csv and its value."""


def find(folder: Path) -> list[SourceFile]:
    """The files of a portfolio folder by path, hidden ones left out. Raises FolderError without a stock list."""
    if not folder.is_dir():
        raise FolderError(str(folder), "there is no such folder", todo="Name a portfolio folder.")
    found = [
        SourceFile(file, file.relative_to(folder).as_posix(), kind, _sha256(file))
        for kind in KINDS
        for file in sorted((folder / kind).rglob("*"))
        if file.is_file() and not any(part.startswith((".", "~$")) for part in file.relative_to(folder).parts)
    ]
    if not any(source.kind == "stock" for source in found):
        raise FolderError(
            str(folder / "stock"),
            "there is no property list",
            expected="at least one csv or xlsx file that lists the properties",
            todo="Put it there and build again.",
        )
    return found


def store(con: duckdb.DuckDBPyConnection, sources: Iterable[SourceFile]) -> None:
    """Make `source_sheets` (one row a sheet), `raw_rows` (one row a row that is not blank) and `refused_files`."""
    longest = queries.limits(con)["cell_characters_most"]
    sheets: list[tuple[str, str | None, str, str]] = []
    refused: list[tuple[str, ...]] = []
    queries.insert(con, "raw_rows", RAW_ROWS.empty_table())
    for source in sources:
        try:
            names, rows = _read(source, int(longest))
        except UnreadableError as fault:
            refused.append((source.path, *fault.args))
            names, rows = [None], RAW_ROWS.empty_table()
        queries.insert(con, "raw_rows", rows)
        sheets += [(source.path, name, source.kind, source.sha256) for name in names]
    queries.insert(con, "source_sheets", _frame(sheets, ["path", "sheet", "kind", "sha256"]))
    queries.insert(con, "refused_files", _frame(refused, ["path", "reason_code", "value"]))


def _read(source: SourceFile, longest: int) -> tuple[list[str | None], pa.Table]:
    """The names of a file's sheets and all of its rows, or UnreadableError: a file is read whole or not at all."""
    names: list[str | None] = []
    parts = [RAW_ROWS.empty_table()]
    for name, rows in _sheets(source, longest):
        names.append(name)
        parts += [_arrow(source.path, name, batch) for batch in _batches(rows)]
    return names or [None], pa.concat_tables(parts)


def _frame(rows: list[tuple[Any, ...]], columns: list[str]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=columns, dtype="string")


def _sha256(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def _sheets(source: SourceFile, longest: int) -> Iterator[tuple[str | None, Iterator[Row]]]:
    """Each sheet of a file with its numbered rows. Raises UnreadableError."""
    if source.kind == "places":
        return
    if source.kind not in TABLES_OF:
        raise UnreadableError("folder_not_read", source.kind)
    if source.suffix in DELIMITED:
        yield None, _numbered(_delimited(source.location, longest), longest)
    elif source.suffix in WORKBOOKS:
        yield from _workbook(source.location, longest)
    else:
        raise UnreadableError("format_not_read", source.suffix or "no ending")


def _numbered(rows: Iterable[list[str]], longest: int) -> Iterator[Row]:
    """Rows with the number that a spreadsheet program shows; blank rows count but are left out."""
    for number, cells in enumerate(rows, start=1):
        together = "".join(cells)
        if together and not together.isspace():
            if len(together) > longest and max(map(len, cells)) > longest:
                raise UnreadableError("cells_too_large", str(longest))
            yield number, cells


def _delimited(file: Path, longest: int) -> Iterator[list[str]]:
    csv.field_size_limit(longest + 1)
    encoding = _encoding(file)
    with file.open(encoding=encoding, newline="") as opened:
        head = "".join(islice(opened, 50))
    with file.open(encoding=encoding, newline="") as opened:
        try:
            yield from csv.reader(opened, delimiter=_delimiter(head))
        except csv.Error as error:
            raise UnreadableError("cells_too_large", str(longest)) from error


def _encoding(file: Path) -> str:
    """By byte order mark, else UTF-8 where the bytes allow it, else Windows-1252."""
    with file.open("rb") as opened:
        start = opened.read(4)
    if start.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    try:
        with file.open(encoding="utf-8-sig") as text:
            while text.read(1 << 20):
                pass
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8-sig"


def _delimiter(head: str) -> str:
    """The mark that most often splits the first lines into the same number of cells."""

    def agreement(mark: str) -> tuple[int, int]:
        widths = [len(row) for row in csv.reader(head.splitlines(), delimiter=mark) if len(row) > 1]
        usual = max(sorted(set(widths)), key=widths.count, default=0)
        return widths.count(usual), usual

    return max(",;\t|", key=agreement)


def _workbook(file: Path, longest: int) -> Iterator[tuple[str, Iterator[Row]]]:
    try:
        with CalamineWorkbook.from_path(file) as workbook:
            for name in workbook.sheet_names:
                sheet = workbook.get_sheet_by_name(name)
                rows = ([_text(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False))
                yield name, _numbered(rows, longest)
    except CalamineError as error:
        raise UnreadableError("unreadable", str(error)) from error


def _text(cell: Any) -> str:
    """A spreadsheet's value as a person would type it: whole numbers without a point, dates as 2026-10-01."""
    match cell:
        case bool():
            return str(cell).upper()
        case float() if cell.is_integer():
            return str(int(cell))
        case datetime() if cell.time() == time():
            return cell.date().isoformat()
        case date() | time():
            return cell.isoformat()
        case _:
            return str(cell)


def _batches(rows: Iterator[Row]) -> Iterator[list[Row]]:
    while batch := list(islice(rows, BATCH_ROWS)):
        yield batch


def _arrow(path: str, sheet: str | None, batch: list[Row]) -> pa.Table:
    numbers, cells = zip(*batch, strict=True)
    columns = [[path] * len(batch), [sheet] * len(batch), numbers, cells]
    return pa.table(columns, schema=RAW_ROWS)
