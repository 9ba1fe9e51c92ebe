"""How many rows a second each format is read at, beside a bare read of the same rows by the library below it.

    python tests/benchmarks/bench_formats.py [--rows 200000] [--repeats 3]

Bare reads: of delimited texts, JSON and Parquet, DuckDB stores the rows as text in a new database with two threads
(for UTF-16, the same text in UTF-8); of workbooks, the cells are gone through once and dropped. Ours stores all rows
in a new database, too. Medians of runs that take turns; what else the machine does shows in the times: read the ratios.
Old workbooks (.xls) are not measured, as nothing here can write one.
"""

import argparse
import json
import random
import statistics
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb
import pyarrow as pa
import xlsxwriter
from pyarrow import parquet
from python_calamine import CalamineWorkbook

from pipelines import queries, sources
from tests.benchmarks.bench_build import markdown
from tests.benchmarks.measures import THREADS
from tests.sources.test_workbooks import ods, ods_row

WIDTH = 25
WORDS = (
    "Kitchen",
    "Hall, rear",
    "Insulating board",
    "Good",
    "2025-03-01",
    "H1234",
    "Textured coating to ceiling",
    "1",
    "",
)
BROKEN = 10
"""One row of so many has a cell with a line break, in the file that has some."""
WORKBOOK_SHARE = 5
"""Workbooks hold a fifth of the rows, as writing them takes long."""
STRAY = "csv, one stray quote"
COLUMNS = {f"column {position}": "varchar" for position in range(WIDTH)}
TEXT = f"read_csv($path, columns = {COLUMNS}, header = true, auto_detect = false, "
READERS = {
    ".csv": TEXT + "delim = ',', quote = '\"', escape = '\"', strict_mode = false, ignore_errors = true)",
    ".tsv": TEXT + "delim = '\t', quote = '')",
    ".jsonl": f"read_json($path, format = 'newline_delimited', columns = {COLUMNS})",
    ".json": f"read_json($path, format = 'array', columns = {COLUMNS})",
    ".parquet": "read_parquet($path)",
}
"""How DuckDB is told to read each; told all of it, as it drops rows where it is to find out itself."""

Table = list[list[str]]


def cells(rows: int) -> Table:
    """A heading and so many rows of words."""
    chance = random.Random(1)
    heading = list(COLUMNS)
    return [heading, *([chance.choice(WORDS) for _ in heading] for _ in range(rows))]


def broken(table: Table) -> Table:
    """The same with line breaks in some cells of the last column, where notes stand."""
    return [[*row[:-1], f"{row[-1]}\nand more"] if at % BROKEN == 1 else row for at, row in enumerate(table)]


def delimited(table: Table) -> str:
    return "\n".join(",".join(f'"{cell}"' if "," in cell or "\n" in cell else cell for cell in row) for row in table)


def make(folder: Path, table: Table) -> dict[str, tuple[Path, int]]:
    """A file of each format with its number of rows, by what it is called in the table."""
    heading, *rows = table
    few = table[: len(rows) // WORKBOOK_SHARE + 1]
    records = [json.dumps(dict(zip(heading, row, strict=True))) for row in rows]
    plain, quoted = "\n".join("\t".join(row) for row in table), delimited(table)
    written = {
        "csv, quotes in order": ("quoted.csv", quoted.encode()),
        "csv, line breaks in cells": ("broken.csv", delimited(broken(table)).encode()),
        STRAY: ("stray.csv", f'{quoted}\n"{quoted[:200]}'.encode()),
        "tsv without quotes": ("plain.tsv", plain.encode()),
        "tsv in UTF-16": ("wide.tsv", plain.encode("utf-16")),
        "json, an object a line": ("lines.jsonl", "\n".join(records).encode()),
        "json, one array": ("array.json", f"[{','.join(records)}]".encode()),
        "parquet": ("table.parquet", b""),
        "xlsx": ("book.xlsx", b""),
        "ods": ("book.ods", ods(*(ods_row(*row) for row in few))),
    }
    for name, content in written.values():
        (folder / name).write_bytes(content)
    columns = [pa.array(column) for column in zip(*rows, strict=True)]
    parquet.write_table(pa.table(columns, names=heading), folder / "table.parquet")
    with xlsxwriter.Workbook(folder / "book.xlsx", {"constant_memory": True}) as made:
        sheet = made.add_worksheet()
        for number, row in enumerate(few):
            sheet.write_row(number, 0, row)
    return {
        label: (folder / name, len(few) - 1 if name.startswith("book") else len(rows))
        for label, (name, _) in written.items()
    }


def workbook_rows(file: Path) -> Iterator[Sequence[object]]:
    """The rows of a workbook as its reader gives them."""
    with CalamineWorkbook.from_path(file) as workbook:
        for name in workbook.sheet_names:
            yield from workbook.get_sheet_by_name(name).iter_rows()


def bare(file: Path, database: Path) -> None:
    """The rows of a file by the library below; those of a text, of JSON or Parquet come into the table `file`."""
    if file.suffix not in READERS:
        for _ in workbook_rows(file):
            pass
        return
    file = file.with_name(file.name.replace("wide", "plain"))
    with duckdb.connect(str(database), config={"threads": str(THREADS)}) as con:
        con.execute(f"create table file as from {READERS[file.suffix]}", {"path": str(file)})


def floor(file: Path, database: Path) -> float:
    """The time of a bare read, seconds."""
    database.unlink(missing_ok=True)
    start = time.perf_counter()
    bare(file, database)
    return time.perf_counter() - start


def ours(file: Path, database: Path, keep: Path | None = None) -> float:
    """The time in which all rows of a file come into a new database, seconds."""
    database.unlink(missing_ok=True)
    source = sources.SourceFile(file, f"registers/{file.name}", "registers", file.name)
    with queries.create(database, THREADS) as con:
        start = time.perf_counter()
        sources.store(con, [source], keep)
        return time.perf_counter() - start


def measure(folder: Path, rows: int, repeats: int) -> str:
    """Everything measured, as markdown."""
    lines: list[tuple[str, ...]] = []
    database = folder / "made.duckdb"
    for label, (file, count) in make(folder, cells(rows)).items():
        turns = [(floor(file, database), ours(file, database)) for _ in range(repeats)]
        below, above = (statistics.median(times) for times in zip(*turns, strict=True))
        lines.append(_line(label, count, below, above))
        if file.suffix not in READERS:
            ours(file, database, folder / label)
            again = statistics.median(ours(file, database, folder / label) for _ in range(repeats))
            lines.append(_line(f"{label}, kept from before", count, below, again))
    return markdown(["Reading files", "Rows", "Here, rows/s", "Bare read, rows/s", "x bare read"], lines)


def _line(label: str, rows: int, below: float, above: float) -> tuple[str, ...]:
    return label, f"{rows:,}", f"{rows / above:,.0f}", f"{rows / below:,.0f}", f"{above / below:.1f}"


def main() -> None:
    """Reads the command line."""
    parser = argparse.ArgumentParser(description="Measure the reading of each format.")
    parser.add_argument("--rows", type=int, default=200_000)
    parser.add_argument("--repeats", type=int, default=3)
    given = parser.parse_args()
    with TemporaryDirectory() as folder:
        print(measure(Path(folder), given.rows, given.repeats))


if __name__ == "__main__":
    main()
