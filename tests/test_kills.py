"""A build that is killed, at whatever moment, leaves a whole result, and the next build clears up behind it.

As many builds are killed at moments spread over a whole one as `pytest --kills 50` says.
"""

import itertools
import multiprocessing
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.synchronize import Event
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from pipelines import run
from tests import portfolios
from tests.portfolios import Tables
from tests.sources.test_workbooks import workbook

MODE = multiprocessing.get_context("forkserver")
"""Processes that have imported everything already, so that they are killed while they build."""
MODE.set_forkserver_preload(["pipelines.run", "tests.portfolios"])
ROOMS = ("Kitchen", "Loft")
BEFORE = "portfolio.previous.duckdb"


@dataclass(frozen=True)
class Wanted:
    """The portfolio of a room as it is handed in, how it is built, the same built undisturbed, and what the result of
    that holds."""

    source: Path
    build: Callable[[Path], Path]
    built: Path
    tables: Tables

    def hand_in(self, folder: Path) -> Path:
        return Path(shutil.copytree(self.source, folder, dirs_exist_ok=True))

    def is_in(self, database: Path) -> bool:
        return portfolios.differences(portfolios.tables(database), self.tables) == {}


@pytest.fixture(scope="module")
def rooms(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Wanted]:
    """Portfolios that differ in one room, each with a csv register and a workbook."""
    return {room: wanted(tmp_path_factory.mktemp(room), room, portfolios.build) for room in ROOMS}


@pytest.fixture(scope="module")
def read_rooms(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Wanted]:
    """The same, built only as far as materials score: how files are moved is the same for all that is built."""
    return {room: wanted(tmp_path_factory.mktemp(room), room, portfolios.read) for room in ROOMS}


def wanted(folder: Path, room: str, build: Callable[[Path], Path]) -> Wanted:
    row = portfolios.row(Location=room)
    source = portfolios.write(folder / "source", {"register.csv": [row]})
    workbook(source / "registers" / "more.xlsx", items=[list(row), list(row.values())])
    database = build(Path(shutil.copytree(source, folder / "homes")))
    shutil.copy(database, database.with_name(BEFORE))
    return Wanted(source, build, database.parent, portfolios.tables(database))


@pytest.fixture(autouse=True)
def no_script(monkeypatch: pytest.MonkeyPatch) -> None:
    """Processes run no main script: tests of pages leave theirs there."""
    monkeypatch.setitem(sys.modules, "__main__", ModuleType("__main__"))


def built(tmp_path: Path, rooms: dict[str, Wanted]) -> Path:
    """The portfolio of the first room, built, with a result before."""
    return Path(shutil.copytree(rooms[ROOMS[0]].built, tmp_path / "homes"))


def build(folder: Path, begun: Event) -> None:
    begun.set()
    portfolios.build(folder)


def build_until(folder: Path, step: int) -> None:
    """A build that kills itself when it is about to link or move a file for the time that `step` says."""
    steps = itertools.count(1)

    def instead(work: Callable[..., Any]) -> Callable[..., Any]:
        def dying(*given: Any) -> Any:
            if next(steps) == step:
                os.kill(os.getpid(), signal.SIGKILL)
            return work(*given)

        return dying

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "link", instead(os.link))
        patch.setattr(Path, "replace", instead(Path.replace))
        portfolios.read(folder)


def seconds(folder: Path, after: float | None = None) -> float:
    """How long a build in a process of its own takes, or until it is killed after so many seconds."""
    begun = MODE.Event()
    process = MODE.Process(target=build, args=(folder, begun))
    process.start()
    assert begun.wait(60)
    start = time.perf_counter()
    process.join(after)
    process.kill()
    process.join()
    return time.perf_counter() - start


def assert_whole(folder: Path, room: str, before: bytes, rooms: dict[str, Wanted]) -> None:
    """That the result is the old one byte for byte or all of the new one, and that the next build leaves nothing."""
    assert (folder / run.RESULT).read_bytes() == before or rooms[room].is_in(folder / run.RESULT)
    assert any(wanted.is_in(folder / BEFORE) for wanted in rooms.values())
    assert rooms[room].is_in(rooms[room].build(folder))
    assert [file for file in folder.rglob("*") if "unfinished" in file.name] == []


def test_a_build_killed_at_any_moment_leaves_a_whole_result(
    tmp_path: Path, rooms: dict[str, Wanted], request: pytest.FixtureRequest
) -> None:
    folder = built(tmp_path, rooms)
    kills, chance = request.config.getoption("--kills"), random.Random(1)
    usual = seconds(folder)
    for number in range(kills):
        before, room = (folder / run.RESULT).read_bytes(), ROOMS[(number + 1) % 2]
        seconds(rooms[room].hand_in(folder), after=usual * (number + chance.random()) / kills)
        assert_whole(folder, room, before, rooms)


@pytest.mark.parametrize("step", range(1, 5))
def test_a_build_killed_while_it_moves_files_leaves_the_old_result(
    step: int, tmp_path: Path, read_rooms: dict[str, Wanted]
) -> None:
    folder = built(tmp_path, read_rooms)
    before = (folder / run.RESULT).read_bytes()
    process = MODE.Process(target=build_until, args=(read_rooms[ROOMS[1]].hand_in(folder), step))
    process.start()
    process.join()
    assert process.exitcode == -signal.SIGKILL
    assert (folder / run.RESULT).read_bytes() == before
    assert_whole(folder, ROOMS[1], before, read_rooms)


def test_what_killed_builds_left_is_removed_and_what_runs_is_left_alone(
    tmp_path: Path, read_rooms: dict[str, Wanted]
) -> None:
    folder = built(tmp_path, read_rooms)
    with subprocess.Popen([sys.executable, "-c", "pass"]) as gone:
        pass
    names = {
        f".portfolio.duckdb.{gone.pid}.unfinished": False,
        f".portfolio.duckdb.{gone.pid}.unfinished.wal": False,
        f".portfolio.duckdb.{gone.pid}.unfinished.previous": False,
        f".portfolio.duckdb.{os.getpid()}.unfinished.wal": False,
        f".portfolio.duckdb.{os.getppid()}.unfinished": True,
        f".other.duckdb.{gone.pid}.unfinished": True,
        ".portfolio.duckdb.mine.unfinished": True,
    }
    for name in names:
        (folder / name).write_text("half a database")
    spilt = folder / f".portfolio.duckdb.{gone.pid}.unfinished.tmp"
    spilt.mkdir()
    (spilt / "duckdb_temp_storage-0.tmp").write_text("what memory could not hold")
    portfolios.read(folder)
    assert {name: (folder / name).exists() for name in names} == names
    assert not spilt.exists()
