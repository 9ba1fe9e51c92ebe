"""How long a build takes and how much memory, against merely loading the same files, and against pandas.

    python tests/benchmarks/bench_build.py --entries 100000 [--to DIR] [--repeats 3]

Makes a portfolio of about so many register entries (or takes the one that is there) and prints tables for the README.
Times are medians, in seconds unless said otherwise; every measurement has a process of its own, so that its peak of
memory is its own. What else the machine does meanwhile shows in the times: read the ratios.
"""

import argparse
import json
import os
import resource
import statistics
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from types import ModuleType
from typing import Any

import duckdb
import pandas as pd

from pipelines import exposure, queries, register, run, settings
from tests.benchmarks import in_pandas

ROOT = Path(__file__).parents[2]
ENTRIES_PER_PROPERTY = 6.32
THREADS = 2
WARM = 9
CP1252 = "corbelhythe"
"""Files of the sample that begin so are not UTF-8."""
STEPS_COMPARED = ("readings", "item_conditions")
TABLES_COMPARED = (
    "profile_lines",
    "rates",
    "item_profiles",
    "item_presence",
    "property_cells",
    "possible_exposures",
    "items",
    "buildings",
)
REFERENCE_COMPARED = ("products", "damage_scores", "surface_scores", "asbestos_types", "material_bands")
ALIKE, LEAST = 1e-9, 1e-12
"""How near the two must be: relative, and absolute, as a build keeps 12 decimals of an exposure."""

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
    off_clock = 0.0
    with _kept_connection() as connections, _noted(register, "match_properties", matched):

        def progress(stage: str) -> None:
            nonlocal off_clock
            marks.append((stage, time.perf_counter() - off_clock))
            if stage == "learning parameters":
                before = time.perf_counter()
                dump(connections[0], STEPS_COMPARED, files.dumped)
                off_clock += time.perf_counter() - before

        start = time.perf_counter()
        run.build(files.portfolio, out=files.result, threads=THREADS, progress=progress)
        marks.append(("", time.perf_counter() - off_clock))
    stages = {stage: after - at for (stage, at), (_, after) in pairwise(marks)}
    report = {"seconds": marks[-1][1] - start, "stages": stages, "matched": matched[0] - start, "peak_mb": peak_mb()}
    with duckdb.connect(str(files.result), read_only=True) as con:
        dump(con, TABLES_COMPARED, files.dumped)
        report["entries"] = con.execute("select count(*) from entries").fetchall()[0][0]
    return report | {"bytes": files.result.stat().st_size}


@contextmanager
def _kept_connection() -> Iterator[list[duckdb.DuckDBPyConnection]]:
    """The connections that builds open meanwhile."""
    opened: list[duckdb.DuckDBPyConnection] = []
    create = queries.create

    def kept(path: Path, threads: int) -> duckdb.DuckDBPyConnection:
        opened.append(create(path, threads))
        return opened[-1]

    queries.create = kept
    try:
        yield opened
    finally:
        queries.create = create


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


def compare(files: Files) -> Report:
    """The same work by the build's steps and in pandas, from the same tables, which are loaded off the clock."""
    chosen = settings.read(files.portfolio, None).as_dict()
    tables = in_pandas.read(files.dumped, (*STEPS_COMPARED, *TABLES_COMPARED))
    tables["profile_lines"]["scope"] = pd.Categorical(
        [None] * len(tables["profile_lines"]), categories=["home", "room"]
    )
    database = files.home / "compared.duckdb"
    database.unlink(missing_ok=True)
    with queries.create(database, THREADS) as con:
        for table in (*STEPS_COMPARED, *TABLES_COMPARED):
            con.execute(f"create table {table} as from '{files.dumped / table}.parquet'")
        con.execute("checkpoint")
        report = {
            "scoring": _scoring(con, tables, chosen),
            "exposure": _exposure(con, tables, chosen),
        }
    database.unlink()
    return report


def _scoring(con: duckdb.DuckDBPyConnection, tables: in_pandas.Tables, chosen: Mapping[str, Any]) -> Report:
    """Material scores of entries and items."""

    def ours() -> None:
        for step in ("surface_ranges", "sub_scores", "material_scores"):
            queries.make(con, "assessment", step, chosen)

    def theirs() -> pd.DataFrame:
        return in_pandas.material(
            tables["readings"], tables["item_conditions"], reference, chosen["textured_coating_surface_score"]
        )

    reference = {name: con.execute(f"from reference.{name}").df() for name in REFERENCE_COMPARED}
    seconds, in_frames = timed(ours), timed(theirs)
    rows = agree(con.execute("from material_scores").df(), theirs(), ["id"])
    return {"rows": rows, "ours": seconds, "pandas": in_frames}


def _exposure(con: duckdb.DuckDBPyConnection, tables: in_pandas.Tables, chosen: Mapping[str, Any]) -> Report:
    """Expected exceedances of items and buildings."""

    def ours() -> None:
        con.execute("drop table if exists exposure_profiles")
        profiles = exposure.exposure_profiles(queries.rows(con, "exposure", "profile_rows"))
        queries.insert(con, "exposure_profiles", profiles)
        for step in ("profile_sums", "item_exposures", "building_exposures"):
            queries.make(con, "exposure", step, chosen)

    seconds, in_frames = timed(ours), timed(lambda: in_pandas.exposure(tables))
    items, buildings = in_pandas.exposure(tables)
    of_items = con.execute("select item_id, exceedances, exceedances_controlled as controlled from item_exposures").df()
    agree(con.execute("from building_exposures").df()[list(buildings)], buildings, ["building_ref"])
    return {"rows": agree(of_items, items, ["item_id"]), "ours": seconds, "pandas": in_frames}


def timed(work: Callable[[], object], times: int = 3) -> float:
    """The median time of some work, seconds."""
    return statistics.median(_seconds(work) for _ in range(times))


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def agree(ours: pd.DataFrame, theirs: pd.DataFrame, keys: list[str]) -> int:
    """How many rows two frames share; AssertionError where they differ."""
    one, other = (frame.astype(dict.fromkeys(keys, "object")).sort_values(keys) for frame in (ours, theirs))
    pd.testing.assert_frame_equal(
        one.reset_index(drop=True).convert_dtypes(),
        other[list(one)].reset_index(drop=True).convert_dtypes(),
        check_dtype=False,
        rtol=ALIKE,
        atol=LEAST,
    )
    return len(one)


def pages(files: Files) -> Report:
    """What the Building page asks for the first building, all together and each, and the ranked list; ms."""

    def ask(name: str, **parameters: Any) -> pd.DataFrame:
        return queries.answer(files.result, name, **parameters)

    first = ask("ranked_buildings", top=1, by="score")["building_ref"].iloc[0]
    visits = [_visit(ask, first) for _ in range(WARM + 1)][1:]
    return {
        "page": statistics.median(sum(map(sum, visit.values())) for visit in visits),
        "questions": sum(map(len, visits[0].values())),
        "by_name": {name: statistics.median(ms for visit in visits for ms in visit[name]) for name in visits[0]},
        "ranked": 1000 * timed(lambda: ask("ranked_buildings", top=50, by="score"), WARM),
    }


def _visit(ask: Callable[..., pd.DataFrame], building_ref: str) -> dict[str, list[float]]:
    """One visit of the Building page, as dashboard/views/building.py asks: milliseconds by question."""
    times: dict[str, list[float]] = defaultdict(list)

    def clocked(name: str, **parameters: Any) -> pd.DataFrame:
        start = time.perf_counter()
        answer = ask(name, **parameters)
        times[name].append(1000 * (time.perf_counter() - start))
        return answer

    clocked("building", building_ref=building_ref)
    clocked("building_act_now", building_ref=building_ref)
    clocked("building_activities", building_ref=building_ref)
    homes = clocked("building_properties", building_ref=building_ref)
    chosen = homes["property_ref"].iloc[0]
    items = clocked("property_items", property_ref=chosen)
    entries = clocked("property_entries", property_ref=chosen)
    for item in items.itertuples():
        clocked("entry_doubts", entry_id=item.entry_id, property_ref=chosen)
        for entry in entries["entry_id"][entries["item_id"] == item.item_id]:
            clocked("entry_cells", entry_id=entry, property_ref=chosen)
            clocked("entry_doubts", entry_id=entry, property_ref=chosen)
        clocked("item_exposures", item_id=item.item_id, property_ref=chosen)
        clocked("item_chance", item_id=item.item_id, property_ref=chosen)
        clocked("item_priority", item_id=item.item_id, property_ref=chosen)
        clocked("item_priority_groups", item_id=item.item_id)
        clocked("item_guidance", product=item.product, contact_code=item.contact_code)
    clocked("property_possible", property_ref=chosen)
    return times


MEASURED: dict[str, Callable[[Files], Report]] = {"floor": floor, "build": build, "compare": compare, "pages": pages}


def measure(what: str, files: Files) -> Report:
    """One measurement in a process of its own."""
    command = [sys.executable, str(Path(__file__)), "--only", what, "--to", str(files.home)]
    environment = os.environ | {"PYTHONPATH": os.pathsep.join((str(ROOT), os.environ.get("PYTHONPATH", "")))}
    answer = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True, env=environment)
    report: Report = json.loads(answer.stdout)
    return report


def median(reports: list[Report]) -> Report:
    """The report whose time is the middle one."""
    return sorted(reports, key=lambda report: float(report["seconds"]))[len(reports) // 2]


def tables(files: Files, repeats: int) -> str:
    """Everything measured, as markdown."""
    turns = [(measure("floor", files), measure("build", files)) for _ in range(repeats)]
    loaded, built = median([turn[0] for turn in turns]), median([turn[1] for turn in turns])
    compared, asked = measure("compare", files), measure("pages", files)
    return "\n\n".join((_of_build(files, loaded, built), _of_pandas(compared), _of_pages(asked)))


def _of_build(files: Files, loaded: Report, built: Report) -> str:
    of_csv = sum(file.stat().st_size for file in files.csv)
    rows = [("Loading the csv files as text (the floor)", loaded["seconds"], loaded["peak_mb"])]
    rows += [(f"Build: {stage}", seconds, None) for stage, seconds in built["stages"].items()]
    rows += [("**Build, whole**", built["seconds"], built["peak_mb"])]
    rows += [("Of it: rows read, recognised and matched to properties", built["matched"], None)]
    return markdown(
        [f"{built['entries']:,} register entries used", "Seconds", "x floor", "Peak MB"],
        [
            (name, f"{seconds:.1f}", f"{seconds / loaded['seconds']:.1f}", "" if peak is None else f"{peak:,.0f}")
            for name, seconds, peak in rows
        ],
    ) + (
        f"\n\nThe database is {built['bytes'] / 1e6:,.0f} MB, {built['bytes'] / of_csv:.1f} times its csv files "
        f"({of_csv / 1e6:,.0f} MB)."
    )


def _of_pandas(compared: Report) -> str:
    named = {"scoring": "Material scores of entries and items", "exposure": "Exposure of items and buildings"}
    return markdown(
        ["The same work, the same results", "Rows", "pandas, s", "Here, s", "Times faster"],
        [
            (
                named[work],
                f"{report['rows']:,}",
                f"{report['pandas']:.2f}",
                f"{report['ours']:.2f}",
                f"{report['pandas'] / report['ours']:.1f}",
            )
            for work, report in compared.items()
        ],
    )


def _of_pages(asked: Report) -> str:
    return markdown(
        ["Questions of the pages", "ms"],
        [
            (f"Building page, {asked['questions']} questions together", f"{asked['page']:.0f}"),
            *((f"`{name}`", f"{ms:.1f}") for name, ms in asked["by_name"].items()),
            ("`ranked_buildings`, the first 50", f"{asked['ranked']:.0f}"),
        ],
    )


def markdown(heading: list[str], rows: list[tuple[str, ...]]) -> str:
    """A table, its first column of words and the others of figures."""
    line = ["---", *["---:"] * (len(heading) - 1)]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in (heading, line, *rows))


def main() -> None:
    """Reads the command line; `--only` is one measurement of a home that is there, as JSON."""
    parser = argparse.ArgumentParser(description="Measure a build.")
    parser.add_argument("--entries", type=int, default=100_000, help="register entries, about")
    parser.add_argument("--to", type=Path, default=Path("benchmarks"), help="folder to keep portfolios in")
    parser.add_argument("--repeats", type=int, default=3, help="builds, each beside a run of the floor")
    parser.add_argument("--only", choices=MEASURED, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.only:
        print(json.dumps(MEASURED[given.only](Files(given.to))))
        return
    files = Files(given.to / f"entries_{given.entries}")
    make_portfolio(files, round(given.entries / ENTRIES_PER_PROPERTY))
    print(tables(files, given.repeats))


if __name__ == "__main__":
    main()
