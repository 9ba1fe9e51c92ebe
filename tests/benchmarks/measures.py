"""What is measured of a portfolio: the floor, a whole build by its stages, and the questions of pages."""

import resource
import statistics
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from types import ModuleType
from typing import Any

import duckdb
import pandas as pd

from pipelines import queries, register, run

ROOT = Path(__file__).parents[2]
THREADS = 2
WARM = 9
CP1252 = "corbelhythe"
"""Files of the sample that begin so are not UTF-8."""
WHEN_OPENED = (
    *("building_activities", "entry_cells", "item_exposures", "item_chance"),
    *("item_priority", "item_priority_groups", "item_guidance"),
)
"""What the Building page asks only when somebody opens a section of it."""
STEPS_COMPARED = ("readings", "item_conditions", "unchanged_damage")
TABLES_COMPARED = (
    "profile_lines",
    "rates",
    "item_profiles",
    "item_presence",
    "property_cells",
    "possible_sums",
    "items",
    "buildings",
)

Report = dict[str, Any]


@dataclass(frozen=True)
class Files:
    """Where a benchmark keeps its things."""

    home: Path

    @property
    def portfolio(self) -> Path:
        return self.home / "portfolio"

    @property
    def result(self) -> Path:
        return self.home / "portfolio.duckdb"

    @property
    def dumped(self) -> Path:
        return self.home / "dumped"

    @property
    def csv(self) -> list[Path]:
        return sorted(self.portfolio.rglob("*.csv"))


def make_portfolio(files: Files, size: int) -> None:
    """The plain sample portfolio of `size` properties, unless it is there already."""
    if files.portfolio.is_dir():
        return
    unfinished = files.home.with_name(files.home.name + ".unfinished")
    script = ROOT / "sample_data" / "make.py"
    subprocess.run([sys.executable, str(script), "--to", str(unfinished), "--size", str(size), "--plain"], check=True)
    unfinished.rename(files.home)


def peak_mb() -> float:
    """The most memory that this process ever held, MB."""
    status = Path("/proc/self/status")
    if status.is_file():  # ru_maxrss may tell of the parent, as it was when this process was started
        peak = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return int(peak.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def floor(files: Files) -> Report:
    """The same csv files as text in a new DuckDB file, nothing else."""
    database = files.home / "floor.duckdb"
    database.unlink(missing_ok=True)
    start = time.perf_counter()
    with duckdb.connect(str(database), config={"threads": str(THREADS)}) as con:
        for number, file in enumerate(files.csv):
            con.execute(
                f"create table file_{number} as "
                "select * from read_csv($path, all_varchar = true, delim = $delimiter, quote = '\"', escape = '\"', "
                "strict_mode = false, ignore_errors = true, encoding = $encoding)",
                _dialect(file),
            )
        con.execute("checkpoint")
    seconds = time.perf_counter() - start
    database.unlink()
    return {"seconds": seconds, "peak_mb": peak_mb()}


def _dialect(file: Path) -> dict[str, str]:
    """How a file of the sample is written; what its makers planted keeps DuckDB from finding that out."""
    encoding = "latin-1" if file.name.startswith(CP1252) else "utf-8"
    with file.open(encoding=encoding) as opened:
        heading = opened.readline()
    return {"path": str(file), "encoding": encoding, "delimiter": max(",;", key=heading.count)}


def build(files: Files) -> Report:
    """A whole build by stage. What the comparison needs of its steps is written down off the clock."""
    files.dumped.mkdir(exist_ok=True)
    marks: list[tuple[str, float]] = []
    matched: list[float] = []
    with _dumped(files.dumped) as off_clock, _noted(register, "match_properties", matched):

        def progress(stage: str) -> None:
            marks.append((stage, time.perf_counter() - sum(off_clock)))

        start = time.perf_counter()
        run.build(files.portfolio, out=files.result, threads=THREADS, progress=progress)
        progress("")
    stages = {stage: after - at for (stage, at), (_, after) in pairwise(marks)}
    report = {"seconds": marks[-1][1] - start, "stages": stages, "matched": matched[0] - start, "peak_mb": peak_mb()}
    with duckdb.connect(str(files.result), read_only=True) as con:
        dump(con, TABLES_COMPARED, files.dumped)
        report["entries"] = con.execute("select count(*) from entries").fetchall()[0][0]
    return report | {"bytes": files.result.stat().st_size}


@contextmanager
def _dumped(to: Path) -> Iterator[list[float]]:
    """Steps that the comparison needs are written down before a build lets go of them; the seconds that this took."""
    took: list[float] = []
    drop = queries.drop

    def dumped(con: duckdb.DuckDBPyConnection, *steps: str) -> None:
        start = time.perf_counter()
        dump(con, tuple(step for step in steps if step in STEPS_COMPARED), to)
        took.append(time.perf_counter() - start)
        drop(con, *steps)

    queries.drop = dumped
    try:
        yield took
    finally:
        queries.drop = drop


@contextmanager
def _noted(module: ModuleType, name: str, times: list[float]) -> Iterator[None]:
    """When a function of a module is done, each time that it is called meanwhile."""
    work = getattr(module, name)

    def noted(*given: Any) -> None:
        work(*given)
        times.append(time.perf_counter())

    setattr(module, name, noted)
    try:
        yield
    finally:
        setattr(module, name, work)


def dump(con: duckdb.DuckDBPyConnection, tables: tuple[str, ...], to: Path) -> None:
    """These tables as parquet files in a folder."""
    for table in tables:
        con.execute(f"copy {table} to '{to / table}.parquet' (format parquet)")


def timed(work: Callable[[], object], times: int = 3) -> float:
    """The median time of some work, seconds."""
    return statistics.median(_seconds(work) for _ in range(times))


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def pages(files: Files) -> Report:
    """What the Building page asks for the first building, all together and each, and the ranked list; ms."""

    def ask(name: str, **parameters: Any) -> pd.DataFrame:
        return queries.answer(files.result, name, **parameters)

    first = ask("ranked_buildings", top=1, by="score")["building_ref"].iloc[0]
    visits = [_visit(ask, first) for _ in range(WARM + 1)][1:]
    at_first = [{name: visit[name] for name in visit if name not in WHEN_OPENED} for visit in visits]
    return {
        "page": statistics.median(sum(map(sum, visit.values())) for visit in at_first),
        "questions": sum(map(len, at_first[0].values())),
        "opened": statistics.median(sum(map(sum, visit.values())) for visit in visits),
        "questions_opened": sum(map(len, visits[0].values())),
        "by_name": {name: statistics.median(ms for visit in visits for ms in visit[name]) for name in visits[0]},
        "ranked": 1000 * timed(lambda: ask("ranked_buildings", top=50, by="score"), WARM),
    }


def _visit(ask: Callable[..., pd.DataFrame], building_ref: str) -> dict[str, list[float]]:
    """One visit of the Building page, every section of it opened: milliseconds by question."""
    times: dict[str, list[float]] = defaultdict(list)

    def clocked(name: str, **parameters: Any) -> pd.DataFrame:
        start = time.perf_counter()
        answer = ask(name, **parameters)
        times[name].append(1000 * (time.perf_counter() - start))
        return answer

    clocked("building", building_ref=building_ref)
    clocked("building_act_now", building_ref=building_ref)
    homes = clocked("building_properties", building_ref=building_ref)
    chosen = homes["property_ref"].iloc[0]
    items = clocked("property_items", property_ref=chosen)
    entries = clocked("property_entries", property_ref=chosen)
    for name in ("property_doubts", "property_contradictions", "property_samples", "property_possible"):
        clocked(name, property_ref=chosen)
    clocked("building_activities", building_ref=building_ref)
    for item in items.itertuples():
        for entry in entries["entry_id"][entries["item_id"] == item.item_id]:
            clocked("entry_cells", entry_id=entry, property_ref=chosen)
        clocked("item_exposures", item_id=item.item_id, property_ref=chosen)
        clocked("item_chance", item_id=item.item_id, property_ref=chosen)
        clocked("item_priority", item_id=item.item_id, property_ref=chosen)
        clocked("item_priority_groups", item_id=item.item_id)
        clocked("item_guidance", product=item.product, contact_code=item.contact_code)
    return times
