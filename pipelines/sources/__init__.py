"""Files to raw rows: every row of every file as text, with its path, sheet and row number.

Nothing is interpreted here. A file is read by what it holds, not by its name, and whole or not at all: what cannot be
read is named in `refused_files` with the reason, and the rest goes on.

Row numbers are those that a spreadsheet program shows: the first row is 1, blank rows count, a quoted line break stays
within its row. JSON and Parquet have no rows to show: their column names are row 0, their records 1, 2, 3 and so on.
"""

import hashlib
import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd
import pyarrow as pa

from pipelines import queries
from pipelines.errors import FolderError
from pipelines.sources import contents, delimited, records, workbooks
from pipelines.sources.kept import Kept
from pipelines.sources.rows import RAW_ROWS, Limits, Sheet, UnreadableError, text

__all__ = ["KINDS", "SourceFile", "UnreadableError", "find", "read", "store", "text"]

KINDS = ("stock", "registers", "samples", "works", "places", "parameters", "corrections")
NO_BYTES = hashlib.sha256(b"").hexdigest()
MERGED_CELLS = ("path", "sheet", "row_number", "position")


@dataclass(frozen=True)
class SourceFile:
    """A file of the portfolio: `path` is relative with forward slashes, `sha256` is of its bytes. `refused` is the
    reason and its value where the bytes were not even looked at; then the hash is of none."""

    location: Path
    path: str
    kind: str
    sha256: str
    refused: tuple[str, str] | None = None


def find(folder: Path) -> list[SourceFile]:
    """The files of a portfolio folder by path, hidden ones left out. Raises FolderError without a stock list.

    What is no plain file inside the folder (a link that leads out of it or to a folder, a pipe, a folder that may not
    be listed) is named and not followed.
    """
    if not folder.is_dir():
        raise FolderError(str(folder), "there is no such folder", todo="Name a portfolio folder.")
    found = [_source(folder, file, kind) for kind in KINDS for file in sorted(_entries(folder / kind))]
    if not any(source.kind == "stock" for source in found):
        raise FolderError(
            str(folder / "stock"),
            "there is no property list",
            expected="at least one csv or xlsx file that lists the properties",
            todo="Put it there and build again.",
        )
    return found


def _entries(top: Path) -> Iterator[Path]:
    """Everything below a folder but the folders in it that can be listed, and what is hidden."""
    closed: list[str] = []
    for at, folders, files in os.walk(top, onerror=lambda error: closed.append(error.filename)):
        folders[:] = [name for name in folders if not _is_hidden(name)]
        linked = [name for name in folders if Path(at, name).is_symlink()]
        yield from (Path(at, name) for name in (*files, *linked) if not _is_hidden(name))
    yield from (Path(name) for name in closed if os.path.lexists(name) and Path(name).is_dir())


def _is_hidden(name: str) -> bool:
    return name.startswith((".", "~$"))


def _source(folder: Path, file: Path, kind: str) -> SourceFile:
    # A name that is no text is shown with its odd bytes spelt out.
    path = os.fsencode(file.relative_to(folder).as_posix()).decode("utf-8", "backslashreplace")
    try:
        refused = _refused(folder, file)
        return SourceFile(file, path, kind, NO_BYTES if refused else _sha256(file), refused)
    except OSError as error:
        return SourceFile(file, path, kind, NO_BYTES, ("no_access", error.strerror or "an error of the disk"))


def _refused(folder: Path, file: Path) -> tuple[str, str] | None:
    is_inside = Path(os.path.realpath(file)).is_relative_to(os.path.realpath(folder))
    if not is_inside or (file.is_symlink() and not file.is_file()):
        return "link_not_followed", ""
    mode = file.stat().st_mode
    if stat.S_ISDIR(mode):
        return "no_access", "the folder may not be listed"
    return None if stat.S_ISREG(mode) else ("no_access", "it is a pipe or a device")


def _sha256(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def store(con: duckdb.DuckDBPyConnection, sources: Iterable[SourceFile], keep: Path | None = None) -> None:
    """Make `source_sheets` (one row a sheet), `raw_rows` (one row a row that is not blank), `struck_rows` (one row a
    row that is struck through), `merged_cells` (one row a cell over which one above is merged) and `refused_files`.

    `keep` is a folder for what workbooks held, so that the next build need not read them again.
    """
    limits = {name: int(value) for name, value in queries.limits(con).items()}
    kept = Kept(keep)
    sheets: list[tuple[Any, ...]] = []
    struck: list[tuple[Any, ...]] = []
    merged: list[tuple[Any, ...]] = []
    refused: list[tuple[str, ...]] = []

    def batches() -> Iterator[pa.RecordBatch]:
        for source in sources:
            try:
                found = read(source, limits, kept)
            except UnreadableError as fault:
                refused.append((source.path, *fault.args))
                found = [Sheet()]
            sheets.extend((source.path, sheet.name, source.kind, source.sha256, sheet.is_hidden) for sheet in found)
            struck.extend((source.path, sheet.name, number) for sheet in found for number in sorted(sheet.struck))
            merged.extend((source.path, sheet.name, *cell) for sheet in found for cell in sorted(sheet.merged))
            for sheet in found:
                for table in sheet.tables:
                    yield from _raw(source.path, sheet.name, table).to_batches()

    # One stream, so that the database stores rows while the next are read, and its groups of rows are full.
    queries.insert(con, "raw_rows", pa.RecordBatchReader.from_batches(RAW_ROWS, batches()))
    kept.clear()
    types = {"path": "string", "sheet": "string", "kind": "string", "sha256": "string", "is_hidden": "bool"}
    queries.insert(con, "source_sheets", pd.DataFrame(sheets, columns=list(types)).astype(types))
    queries.insert(con, "struck_rows", _frame(struck, MERGED_CELLS[:3]))
    queries.insert(con, "merged_cells", _frame(merged, MERGED_CELLS), is_step=True)
    queries.insert(
        con, "refused_files", pd.DataFrame(refused, columns=["path", "reason_code", "value"], dtype="string")
    )


def _frame(rows: list[tuple[Any, ...]], names: Sequence[str]) -> pd.DataFrame:
    """Rows that say where something stands: in a file, a sheet, a row and a column."""
    types = {name: "string" if name in ("path", "sheet") else "int32" for name in names}
    return pd.DataFrame(rows, columns=list(names)).astype(types)


def _raw(path: str, sheet: str | None, table: pa.Table) -> pa.Table:
    places = [pa.repeat(pa.scalar(name, pa.string()), len(table)) for name in (path, sheet)]
    return pa.table([*places, *table.columns], schema=RAW_ROWS)


def read(source: SourceFile, limits: Limits, kept: Kept) -> list[Sheet]:
    """All sheets of a file. Raises UnreadableError: a file is read whole or not at all."""
    if source.refused:
        raise UnreadableError(*source.refused)
    try:
        if source.kind == "places":
            contents.check_places(source.location)
            return [Sheet()]
        return _by_contents(source, limits, kept)
    except OSError as error:
        raise UnreadableError("no_access", error.strerror or "an error of the disk") from error


def _by_contents(source: SourceFile, limits: Limits, kept: Kept) -> list[Sheet]:
    file = source.location
    match contents.kind_of(file):
        case contents.WORKBOOK:
            sheets = kept.get(source.sha256)
            if sheets is None:
                sheets = workbooks.read(file, limits)
                kept.put(source.sha256, sheets)
            return sheets or [Sheet()]
        case contents.JSON:
            return [Sheet(tables=records.read_json(file, limits))]
        case contents.PARQUET:
            return [Sheet(tables=records.read_parquet(file, limits))]
        case _:
            return [Sheet(tables=delimited.read(file, limits))]
