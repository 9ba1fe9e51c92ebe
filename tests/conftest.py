"""What every test may use: the built sample, and an empty world of tables to ask one query in."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd
import pytest
from xdist.scheduler import LoadScopeScheduling

from pipelines import queries, run, sample
from tests import portfolios

GOLDEN = ("tests/test_cases.py", "tests/test_layouts.py")
Cells = Sequence[Mapping[str, str | None]]


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-expected", action="store_true", help="write what tests/cases expect from what is built")
    parser.addoption("--kills", type=int, default=2, help="how many builds tests/test_kills.py kills at some moment")


class BesideWhatItShares(LoadScopeScheduling):
    """Tests of a file, of a golden case and of the browser run in one process each: what they share is built once."""

    def _split_scope(self, nodeid: str) -> str:
        path, _, test = nodeid.partition("::")
        if path.startswith("tests/browser/"):
            return "browser"
        return test.partition("[")[2] if path in GOLDEN else path


def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> LoadScopeScheduling:
    return BesideWhatItShares(config, log)


@pytest.fixture(scope="session")
def sample_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample portfolio, built. Not to be written to."""
    folder = tmp_path_factory.mktemp("sample")
    sample.copy(folder)
    run.build(folder)
    return folder


@pytest.fixture(scope="session")
def sample_result(sample_folder: Path) -> Path:
    """The result of the sample portfolio."""
    return sample_folder / run.RESULT


@dataclass(frozen=True)
class World:
    """Every table and step of a build, empty, beside the reference tables: queries are asked in it one at a time. Views
    of steps are what they are, so a case of a query that reads one gives the steps below it."""

    con: duckdb.DuckDBPyConnection

    def answer(
        self, stage: str, name: str, given: Mapping[str, Cells], parameters: Mapping[str, Any] | None = None
    ) -> pd.DataFrame:
        """The answer of a query when these tables hold these rows, cells cast from text, and the rest hold none."""
        return self.compare(stage, name, given, parameters or {}, [])[0]

    def compare(
        self, stage: str, name: str, given: Mapping[str, Cells], parameters: Mapping[str, Any], expected: Cells
    ) -> tuple[pd.DataFrame, pd.DataFrame]:
        """The answer of a query, and the expected rows cast from text to its types."""
        query = queries.load(stage, name)
        with self._undone():
            for table, rows in given.items():
                self.con.execute(f"delete from {table}")
                self._insert(table, rows)
            values = {parameter: parameters.get(parameter) for parameter in query.parameters}
            self.con.execute(f"create temp table answer as {query.text}", values)
            self.con.execute("create temp table expected as from answer limit 0")
            self._insert("expected", expected)
            return self.con.execute("from answer").df(), self.con.execute("from expected").df()

    @contextmanager
    def _undone(self) -> Iterator[None]:
        """What is done inside is taken back, whether it works or not, so that no case meets another's rows."""
        self.con.execute("begin")
        try:
            yield
        finally:
            self.con.execute("rollback")

    def _insert(self, table: str, rows: Cells) -> None:
        if rows:
            self.con.register("incoming", pd.DataFrame(rows, dtype="string"))
            self.con.execute(f"insert into {table} by name from incoming")
            self.con.unregister("incoming")


@pytest.fixture(scope="session")
def world(tmp_path_factory: pytest.TempPathFactory) -> Iterator[World]:
    """An empty world with the very columns and types that a build makes."""
    folder = tmp_path_factory.mktemp("world")
    made = queries.create(folder / "made.duckdb", threads=1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(queries, "create", lambda path, threads: nullcontext(made))
        patch.setattr(queries, "drop", lambda con, *steps: None)
        patch.setattr(run, "_swap", lambda finished, database: None)
        portfolios.build(portfolios.write(folder, {"register.csv": [portfolios.row()]}))
    columns = made.execute(
        "select table_name, string_agg(format('\"{}\" {}', column_name, data_type), ', ' order by column_index) "
        "from duckdb_columns() where schema_name = 'main' and database_name <> 'temp' and not internal "
        "group by table_name"
    ).fetchall()
    parts = made.execute(
        "select view_name from duckdb_views() where temporary and not internal order by view_oid"
    ).fetchall()
    made.close()
    with queries.create(folder / "empty.duckdb", threads=1) as con:
        con.execute("set preserve_insertion_order = true")
        for table, types in columns:
            con.execute(f"create table {table} ({types})")
        for (part,) in parts:
            queries.make(con, str(queries.maker(part)), part, {})
        yield World(con)
