"""Tiny portfolios to build in tests: written as rows, built as a user would."""

import csv
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from itertools import zip_longest
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from typing import Any

import duckdb
import pytest

from pipelines import exposure, parameters, run

AS_OF = date(2026, 10, 1)
Row = dict[str, str]
Tables = dict[str, list[tuple[Any, ...]]]

_HOMES = (
    ("H1", "1 Elm Road, Alder", "ZZ1 1AA", "North", "1965"),
    ("H2", "2 Elm Road, Alder", "ZZ1 1AA", "North", "1965"),
    ("H3", "3 Ash Lane, Birch", "ZZ2 2BB", "South", "1972"),
)
HOMES: tuple[Row, ...] = tuple(
    dict(zip(("Property Ref", "Address", "Post Code", "Area", "Year Built"), home, strict=True)) for home in _HOMES
)


def row(**cells: str) -> Row:
    """A register row about a sound, sampled board in the kitchen of H1, but for what `cells` say."""
    usual = {
        "Property Ref": "H1",
        "Survey Date": "2025-03-01",
        "Location": "Kitchen",
        "Material": "AIB",
        "Status": "Identified",
        "Asbestos Type": "Amosite",
        "Sample Ref": "S1",
        "Condition": "Good",
        "Surface Treatment": "Painted",
    }
    return usual | {name.replace("_", " "): cell for name, cell in cells.items()}


def write(
    folder: Path,
    registers: Mapping[str, Sequence[Row]],
    stock: Sequence[Row] = HOMES,
    samples: Mapping[str, Sequence[Row]] | None = None,
) -> Path:
    """A portfolio folder with one stock list, these registers and these results of laboratories by file name; every row
    of a file needs the same columns."""
    lists = {"stock/homes.csv": stock} | {f"registers/{name}": rows for name, rows in registers.items()}
    lists |= {f"samples/{name}": rows for name, rows in (samples or {}).items()}
    for path, rows in lists.items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("w", encoding="utf-8", newline="") as opened:
            writer = csv.DictWriter(opened, list(rows[0]))
            writer.writeheader()
            writer.writerows(rows)
    return folder


KEPT = TemporaryDirectory(prefix="undisturbed-cases-")
"""Where results stay that several tests read, until the run ends."""


def build(folder: Path, threads: int = 1, **options: Any) -> Path:
    """The result of a build of `folder` as of `AS_OF`; of little, a second thread only costs time."""
    return run.build(folder, AS_OF, threads=threads, **options).database


def cases(having: str) -> list[Any]:
    """The golden cases that have such a file or folder, as parameters of tests."""
    folders = sorted(file.parent for file in Path(__file__).parent.glob(f"cases/*/{having}"))
    return [pytest.param(folder, id=folder.name) for folder in folders]


def read(folder: Path, **options: Any) -> Path:
    """The result of a build up to what materials score: what comes after says nothing of how registers are read."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(parameters, "run", lambda con, settings: None)
        patch.setattr(exposure, "run", lambda con, settings: None)
        patch.setattr(run, "_rank", lambda con, settings: None)
        return build(folder, **options)


@cache
def of_case(case: Path) -> Path:
    """What is read of a golden case, once for all tests of a run; not to be changed."""
    return read(case / "input", out=Path(mkdtemp(prefix="undisturbed-case-", dir=KEPT.name)) / "portfolio.duckdb")


def ask(database: Path, question: str) -> list[tuple[Any, ...]]:
    """What a finished result says to a SELECT."""
    with duckdb.connect(str(database), read_only=True) as con:
        return con.execute(question).fetchall()


def tables(database: Path) -> Tables:
    """Every table of a result as sorted rows, but for the one clock value."""
    names = ask(database, "select table_name from duckdb_tables() where schema_name = 'main' order by table_name")
    clockless = {"runs": "* exclude (started_at)"}
    return {
        name: sorted(ask(database, f"select {clockless.get(name, '*')} from {name}"), key=repr) for (name,) in names
    }


def differences(one: Tables, other: Tables) -> dict[str, tuple[Any, Any]]:
    """The first row that differs, by table."""
    return {
        name: next(
            (pair for pair in zip_longest(one.get(name, []), other.get(name, [])) if repr(pair[0]) != repr(pair[1])),
            (name in one, name in other),
        )
        for name in one.keys() | other.keys()
        if repr(one.get(name)) != repr(other.get(name))
    }
