"""The one place where Python meets SQL.

A query is a file `queries/<stage>/<name>.sql` that holds one SELECT. Its leading comment lines say what one
row of the answer is, name each parameter (`-- $name: meaning`) and, if the result is not an ordinary table,
how it is kept: `-- Kept as a view.`, `-- Kept as a step.` (a table in memory, gone when the build ends) or `-- Kept as
a view of steps.` (a part of the query that reads it, which would be too long to read).
`queries/macros.sql` has what several of them do alike, as the wording of figures; its macros travel in the result.
"""

import csv
import re
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, TypeVar

import duckdb
import pandas as pd
import pyarrow as pa

from pipelines.errors import NotBuiltError

T = TypeVar("T")
ROOT = Path(__file__).parent.parent / "queries"
REFERENCE = Path(__file__).parent / "reference"
DICTIONARY = Path(__file__).parent / "data_dictionary.csv"
OFFLINE: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
}
MEMORY = "2400MB"
"""What the tables of a build may hold at once; the rest waits on disk beside the result, and goes when it closes."""
UNFINISHED = "(recovery_mode no_wal_writes)"
"""How a new result is written: nobody opens one that is not whole, so no log of its changes is kept."""
MACROS = ROOT / "macros.sql"
STEPS = "memory.main"
"""Where steps stand, for every cursor of a build; what is kept stands in the result."""
KEPT_AS = {
    "-- Kept as a view.": "view ",
    "-- Kept as a step.": f"table {STEPS}.",
    "-- Kept as a view of steps.": "temporary view ",
}

LAST_READ_BY = {
    "table_rows": ("row_shapes",),
    "register_lines": ("register_rows", "register_above"),
    "property_candidates": ("reference_candidates",),
    "property_matches": ("named_properties",),
    "open_questions": ("property_candidates",),
    "jobs_read": ("table_rows", "works_lines"),
    "sample_results": ("sample_lines", "property_matches"),
    "analyses": ("sample_candidates",),
    "materials_of_samples": ("register_samples",),
    "readings": ("register_lines", "analyses"),
    "samples": ("sample_joins",),
    "item_links": ("item_things",),
    "doubts": ("sample_results", "unchanged_damage"),
    "entries": ("sub_scores",),
    "items": ("item_conditions", "material_scores", "priority_scores"),
    "link_questions": ("item_rows", "readings"),
    "looked_for": ("property_defaults",),
    "item_profiles": ("item_reaches",),
    "item_ranking": ("item_sums",),
}
"""The large steps that nothing reads after a query: memory for those that come."""


@dataclass(frozen=True)
class Query:
    """One SELECT: its text, the parameters that its header names, and how its result is kept."""

    name: str
    text: str
    parameters: tuple[str, ...]
    kept_as: str


@cache
def load(stage: str, name: str) -> Query:
    """The query in `queries/<stage>/<name>.sql`."""
    text = (ROOT / stage / f"{name}.sql").read_text(encoding="utf-8")
    header = [line for line in text.splitlines() if line.startswith("--")]
    parameters = tuple(re.findall(r"^-- \$(\w+):", "\n".join(header), re.MULTILINE))
    kept_as = next((KEPT_AS[line] for line in header if line in KEPT_AS), "table ")
    return Query(name, text, parameters, kept_as)


def maker(table: str) -> str | None:
    """The stage with the query that makes a table; None for a table that Python makes. A question may have its name."""
    stages = (file.parent.name for file in sorted(ROOT.glob(f"*/{table}.sql")))
    return next((stage for stage in stages if stage != "answers"), None)


def create(path: Path, threads: int) -> duckdb.DuckDBPyConnection:
    """A new database file at `path` with the macros, and the reference tables in schema `reference`."""
    limits = {"threads": str(threads), "memory_limit": MEMORY, "temp_directory": f"{path}.tmp"}
    con = duckdb.connect(config=OFFLINE | limits)
    con.execute(f"set preserve_insertion_order = false; attach {_quoted(path)} as result {UNFINISHED}")
    _find_steps(con)
    con.execute("create schema reference")
    con.execute(MACROS.read_text(encoding="utf-8"))
    for name, table in _reference_tables().items():
        con.register("incoming", table)
        con.execute(f"create table reference.{name} as from incoming")
        con.unregister("incoming")
    return con


@cache
def _reference_tables() -> dict[str, pa.Table]:
    """The reference tables by name, with the types that their values tell."""
    with duckdb.connect(config=OFFLINE) as con:
        return {
            file.stem: con.sql(
                "from read_csv($path, header = true, delim = ',', quote = '\"', sample_size = -1)",
                params={"path": str(file)},
            ).to_arrow_table()
            for file in sorted(REFERENCE.glob("*.csv"))
        }


def _quoted(path: Path) -> str:
    return "'" + str(path).replace("'", "''") + "'"


def _find_steps(con: duckdb.DuckDBPyConnection) -> None:
    """Let names mean what is kept, then steps."""
    con.execute(f"set search_path = 'result.main,{STEPS}'")


@contextmanager
def beside(con: duckdb.DuckDBPyConnection, work: Callable[[duckdb.DuckDBPyConnection], T]) -> Iterator[Future[T]]:
    """Do some work in a thread of its own, on a cursor of its own, while the block runs: what Python does alone takes
    no time where the database works beside it. It is done when the block ends."""
    with con.cursor() as cursor, ThreadPoolExecutor(1) as thread:
        _find_steps(cursor)
        yield (done := thread.submit(work, cursor))
        done.result()


def make(con: duckdb.DuckDBPyConnection, stage: str, name: str, settings: Mapping[str, Any]) -> None:
    """Make the table, step or view `name` from its query; `settings` holds at least its parameters."""
    query = load(stage, name)
    chosen = {parameter: settings[parameter] for parameter in query.parameters}
    con.execute(f"create or replace {query.kept_as}{query.name} as {query.text}", chosen)
    drop(con, *LAST_READ_BY.get(name, ()))


def drop(con: duckdb.DuckDBPyConnection, *steps: str) -> None:
    """Let go of steps that no later one reads."""
    for step in steps:
        con.execute(f"drop table {step}")


def rows(con: duckdb.DuckDBPyConnection, stage: str, name: str, **parameters: Any) -> pd.DataFrame:
    """The answer of a query as a frame."""
    return con.execute(load(stage, name).text, parameters).df()


def tuples(con: duckdb.DuckDBPyConnection, stage: str, name: str, **parameters: Any) -> list[tuple[Any, ...]]:
    """The answer of a query as tuples."""
    return con.execute(load(stage, name).text, parameters).fetchall()


def limits(con: duckdb.DuckDBPyConnection) -> dict[str, float]:
    """The limits of `reference/limits.csv` by name."""
    return dict(con.execute("select name, value from reference.limits").fetchall())


def insert(con: duckdb.DuckDBPyConnection, table: str, frame: Any, is_step: bool = False) -> None:
    """Make `table`, or a step, from a pandas frame or Arrow table, or add to it where it is there already."""
    con.register("incoming", frame)
    if (table,) in con.execute("select table_name from duckdb_tables() where schema_name = 'main'").fetchall():
        con.execute(f"insert into {table} by name from incoming")
    else:
        con.execute(f"create table {f'{STEPS}.{table}' if is_step else table} as from incoming")
    con.unregister("incoming")


@contextmanager
def opened(database: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A finished result, read only and locked down: no writes, no files, no changed settings.

    What it is attached to is kept until another file stands in its place, so that a result swapped in is seen at once.
    Raises NotBuiltError where there is no result, or one of another version.
    """
    if not database.is_file():
        raise NotBuiltError(str(database), "there is no result yet", todo=f"Run: undisturbed build {database.parent}")
    file = database.stat()
    with _attached(database, (file.st_ino, file.st_mtime_ns, file.st_size)).cursor() as con:
        con.execute("use result")
        try:
            yield con
        except (duckdb.CatalogException, duckdb.BinderException) as error:
            lacking = _lacking(con)
            if not lacking:
                raise
            raise NotBuiltError(
                str(database),
                "the result was made by another version of this program",
                got=f"a result without {lacking[0]}",
                todo=f"Build it anew: undisturbed build {database.parent}",
            ) from error


def _lacking(con: duckdb.DuckDBPyConnection) -> list[str]:
    """The columns that a result of this version has and the opened one has not."""
    there = set(con.execute("select table_name || '.' || column_name from duckdb_columns()").fetchall())
    with DICTIONARY.open(encoding="utf-8", newline="") as words:
        built = [f"{word['table']}.{word['column']}" for word in csv.DictReader(words) if word["status"] == "built"]
    return [column for column in built if (column,) not in there]


@lru_cache(maxsize=1)
def _attached(database: Path, file: tuple[int, int, int]) -> duckdb.DuckDBPyConnection:
    """A connection to the result that is now this `file`: its inode, time and size."""
    con = duckdb.connect(config=OFFLINE)
    try:
        con.execute(f"attach {_quoted(database)} as result (read_only)")
    except duckdb.Error as error:
        raise NotBuiltError(
            str(database),
            "the result cannot be opened",
            got=str(error).splitlines()[0],
            todo=f"Build it anew: undisturbed build {database.parent}",
        ) from error
    con.execute("set enable_external_access = false; set lock_configuration = true")
    return con


def answer(database: Path, name: str, **parameters: Any) -> pd.DataFrame:
    """What the finished result says to a question of `queries/answers/`; a parameter left out is null."""
    asked = {parameter: parameters.get(parameter) for parameter in load("answers", name).parameters}
    with opened(database) as con:
        return rows(con, "answers", name, **asked)
