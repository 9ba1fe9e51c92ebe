"""How many rows a second each format is read at, beside a bare read of the same file by the library below it.

    python tests/benchmarks/bench_formats.py [--rows 200000] [--repeats 3]

The floors: for delimited texts, JSON and Parquet, DuckDB stores the file as text in a new database with two threads
(for UTF-16, the same text in UTF-8); for workbooks, the cells are gone through once and dropped. Ours stores all rows
in a new database, too. Medians of runs that take turns; what else the machine does shows in the times: read the ratios.
"""

import argparse
import json
import random
import statistics
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb
import pyarrow as pa
import xlsxwriter
from pyarrow import parquet
from python_calamine import CalamineWorkbook

from pipelines import queries, sources

THREADS = 2
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
WORKBOOK_SHARE = 5
"""Workbooks hold a fifth of the rows, as writing them takes long."""


def make(folder: Path, rows: int) -> dict[str, tuple[Path, int]]:
    """A file of each format with its number of rows, by what it is called in the table."""
    chance = random.Random(1)
    heading = [f"column {position}" for position in range(WIDTH)]
    cells = [[chance.choice(WORDS) for _ in heading] for _ in range(rows)]
    table = [heading, *cells]
    records = [dict(zip(heading, row, strict=True)) for row in cells]
    plain = "\n".join("\t".join(row) for row in table)
    quoted = "\n".join(",".join(f'"{cell}"' if "," in cell else cell for cell in row) for row in table)
    written = {
        "csv, quotes in order": ("quoted.csv", quoted.encode()),
        "csv, one stray quote": ("stray.csv", f'{quoted}\n"{quoted[:200]}'.encode()),
        "tsv without quotes": ("plain.tsv", plain.encode()),
        "tsv in UTF-16": ("wide.tsv", plain.encode("utf-16")),
        "json lines": ("lines.jsonl", "\n".join(map(json.dumps, records)).encode()),
    }
    for name, content in written.values():
        (folder / name).write_bytes(content)
    columns = [pa.array(column) for column in zip(*cells, strict=True)]
    parquet.write_table(pa.table(columns, names=heading), folder / "table.parquet")
    few = table[: rows // WORKBOOK_SHARE + 1]
    with xlsxwriter.Workbook(folder / "book.xlsx", {"constant_memory": True}) as made:
        sheet = made.add_worksheet()
        for number, row in enumerate(few):
            sheet.write_row(number, 0, row)
    files = {label: (folder / name, rows) for label, (name, _) in written.items()}
    return files | {"parquet": (folder / "table.parquet", rows), "xlsx": (folder / "book.xlsx", len(few) - 1)}


def bare(file: Path, database: Path) -> None:
    """The floor for a file."""
    file = file.with_name(file.name.replace("wide", "plain"))
    readers = {
        ".csv": "read_csv($path, all_varchar = true, header = false, ignore_errors = true)",
        ".tsv": "read_csv($path, all_varchar = true, header = false, delim = '\t', quote = '')",
        ".jsonl": "read_json($path, format = 'newline_delimited')",
        ".parquet": "read_parquet($path)",
    }
    if file.suffix == ".xlsx":
        with CalamineWorkbook.from_path(file) as workbook:
            for name in workbook.sheet_names:
                for _ in workbook.get_sheet_by_name(name).iter_rows():
                    pass
        return
    with duckdb.connect(str(database), config={"threads": str(THREADS)}) as con:
        con.execute(f"create table file as from {readers[file.suffix]}", {"path": str(file)})


def floor(file: Path, database: Path) -> float:
    """The time of the floor, seconds."""
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
    lines = ["| | rows | floor, rows/s | ours, rows/s | ours, x floor |", "|---|---:|---:|---:|---:|"]
    database, keep = folder / "made.duckdb", folder / "kept"
    for label, (file, count) in make(folder, rows).items():
        turns = [(floor(file, database), ours(file, database)) for _ in range(repeats)]
        below, above = (statistics.median(times) for times in zip(*turns, strict=True))
        lines.append(_line(label, count, below, above))
        if file.suffix == ".xlsx":
            ours(file, database, keep)
            again = statistics.median(ours(file, database, keep) for _ in range(repeats))
            lines.append(_line("xlsx, kept from before", count, below, again))
    return "\n".join(lines)


def _line(label: str, rows: int, below: float, above: float) -> str:
    return f"| {label} | {rows:,} | {rows / below:,.0f} | {rows / above:,.0f} | {above / below:.1f} |"


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
