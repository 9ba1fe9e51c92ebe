"""The whole build, top to bottom: files in, one database out, swapped in whole at the end."""

import gc
import glob
import os
import shutil
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd

from pipelines import (
    __version__,
    action,
    assessment,
    exposure,
    parameters,
    queries,
    register,
    settings,
    sources,
)
from pipelines.errors import FolderError

RESULT = "portfolio.duckdb"
KEPT = ".undisturbed"
THREADS = 2


@dataclass(frozen=True)
class Built:
    """A finished build: where the result is, the day it holds for, what became of each file, what to mend."""

    database: Path
    as_of: date
    files: pd.DataFrame
    to_mend: pd.DataFrame


def build(
    folder: Path,
    as_of: date | None = None,
    out: Path | None = None,
    threads: int = THREADS,
    progress: Callable[[str], None] = lambda stage: None,
) -> Built:
    """Read everything in a portfolio folder and write its result, by default to `portfolio.duckdb` in it.

    The result is made in a new file beside the old one and moved over it at the very end, so that an error
    or a kill leaves the old one as it was. Raises PortfolioError for what the user can mend.
    """
    chosen = settings.read(folder, as_of)
    found = sources.find(folder)
    database = out or folder / RESULT
    if not database.parent.is_dir():
        raise FolderError(str(database.parent), "there is no such folder for the result", todo="Make it first.")
    _clear(database)
    unfinished = database.with_name(f".{database.name}.{os.getpid()}.unfinished")
    try:
        with _nothing_collected(), queries.create(unfinished, threads) as con:
            _make(con, found, folder, chosen, progress)
            built = Built(
                database,
                chosen.as_of,
                files=queries.rows(con, "answers", "file_totals"),
                to_mend=queries.rows(con, "answers", "reasons_to_mend"),
            )
        _swap(unfinished, database)
    finally:
        unfinished.unlink(missing_ok=True)
        unfinished.with_name(unfinished.name + ".wal").unlink(missing_ok=True)
    return built


def _make(
    con: duckdb.DuckDBPyConnection,
    found: list[sources.SourceFile],
    folder: Path,
    chosen: settings.Settings,
    progress: Callable[[str], None],
) -> None:
    """The stages in their order; each makes the tables that the next ones read."""
    values = chosen.as_dict()
    stages: tuple[tuple[str, Callable[[], None]], ...] = (
        ("reading files", lambda: sources.store(con, found, folder / KEPT)),
        ("reading registers", lambda: register.run(con, values, folder)),
        ("assessing materials", lambda: assessment.run(con, values)),
        ("learning parameters", lambda: parameters.run(con, values)),
        ("working out exposure", lambda: exposure.run(con, values)),
        ("ranking", lambda: _rank(con, values)),
        ("closing", lambda: _close(con, chosen)),
    )
    for name, stage in stages:
        progress(name)
        stage()


def _rank(con: duckdb.DuckDBPyConnection, values: Mapping[str, Any]) -> None:
    """Draw the ranges of the sums beside what needs none, then rank by them."""
    with queries.beside(con, partial(exposure.draw, settings=values)):
        action.gather(con, values)
    action.rank(con, values)


def _close(con: duckdb.DuckDBPyConnection, chosen: settings.Settings) -> None:
    """Account for every row that was handed in, and say which build this was."""
    register.account(con)
    queries.make(con, "action", "runs", _run(chosen))


def _run(chosen: settings.Settings) -> dict[str, Any]:
    """What `runs` says of a build; its `started_at` is the one clock value."""
    return {
        "version": __version__,
        "name": chosen.name,
        "as_of": chosen.as_of,
        "started_at": datetime.now(UTC).replace(tzinfo=None),
        "settings": chosen.as_json(),
    }


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """Leave garbage in cycles alone meanwhile: there is little of it, and to look for it among all the rows that are
    read takes a third of their reading."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _clear(database: Path) -> None:
    """Remove what builds of this result left that were killed: those whose process is gone, and this one's number."""
    for file in database.parent.glob(f".{glob.escape(database.name)}.*.unfinished*"):
        number = file.name.removeprefix(f".{database.name}.").partition(".")[0]
        if number.isdecimal() and (int(number) == os.getpid() or not _is_running(int(number))):
            if file.is_dir():  # what memory could not hold
                shutil.rmtree(file, ignore_errors=True)
            else:
                file.unlink(missing_ok=True)


def _is_running(number: int) -> bool:
    """Whether a process has this number; where asking would end it (Windows), it is taken for running."""
    if sys.platform == "win32":
        return True
    try:
        os.kill(number, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _swap(finished: Path, database: Path) -> None:
    """Keep the result before as the previous one, then move the finished one over it in one step."""
    if database.exists():
        kept = finished.with_name(finished.name + ".previous")
        try:
            os.link(database, kept)
        except OSError:
            shutil.copyfile(database, kept)
        kept.replace(database.with_name(f"{database.stem}.previous{database.suffix}"))
        kept.unlink(missing_ok=True)  # where a killed build left both as names of one file, nothing was moved
    finished.replace(database)
