"""How long a build takes beside its floor, and its sums beside the same written in pandas, in one run.

    python tests/benchmarks/bench_build.py --properties 16000 --to FOLDER

16,000 properties make about 100 thousand register entries, 158,000 about a million. The floor is a text table stored
from the same csv files by DuckDB. Each part runs in a process of its own, so that its peak memory is its own. Prints a
table in Markdown. Times are ratios within one run; seconds are given for scale only.
"""

import argparse
import json
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import duckdb
import numpy as np

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from pipelines import action, exposure, queries, run  # noqa: E402
from tests.benchmarks import in_pandas  # noqa: E402

SCORING = ("surface_ranges", "sub_scores", "material_scores")
SUMMING = ("profile_lines", "profile_sums", "item_exposures", "building_exposures")
DUMPED = (
    *("readings", "item_conditions", "material_scores", "profile_lines", "rates", "item_profiles", "item_presence"),
    *("property_cells", "items", "possible_exposures", "buildings", "item_exposures", "building_exposures"),
)
REFERENCE = ("material_bands", "products", "damage_scores", "surface_scores", "asbestos_types")
REPEATS = 9
MEGABYTE = 1024


def floor(folder: Path) -> dict[str, Any]:
    """Seconds and peak memory, MB, of storing every csv file as text in a new database."""
    database = folder / "floor.duckdb"
    database.unlink(missing_ok=True)
    started = time.perf_counter()
    with duckdb.connect(str(database), config={"threads": run.THREADS}) as con:
        con.execute("set preserve_insertion_order = false")
        for number, file in enumerate(sorted((folder / "portfolio").rglob("*.csv"))):
            con.execute(f"create table t{number} as select * from read_csv('{file}', all_varchar = true)")
        con.execute("checkpoint")
    return {"seconds": time.perf_counter() - started, "peak_mb": _peak()}


def build(folder: Path) -> dict[str, Any]:
    """Seconds by stage and step and peak memory, MB, of a build; leaves tables for pandas in `steps/`."""
    stages: list[tuple[str, float]] = []
    steps: dict[str, float] = {}
    rank, make, profile = action.run, queries.make, exposure.exposure_profiles

    def timed(name: str, call: Callable[[], Any]) -> Any:
        started = time.perf_counter()
        result = call()
        steps[name] = steps.get(name, 0) + time.perf_counter() - started
        return result

    def dumping(con: duckdb.DuckDBPyConnection, settings: Any) -> None:
        started = time.perf_counter()
        (folder / "steps").mkdir(exist_ok=True)
        for table in DUMPED:
            con.execute(f"copy {table} to '{folder / 'steps' / table}.parquet'")
        for table in REFERENCE:
            con.execute(f"copy reference.{table} to '{folder / 'steps' / table}.parquet'")
        steps["dump"] = time.perf_counter() - started
        rank(con, settings)

    action.run = dumping
    queries.make = lambda con, stage, name, settings: timed(name, lambda: make(con, stage, name, settings))
    exposure.exposure_profiles = lambda lines: timed("exposure_profiles", lambda: profile(lines))
    run.build(folder / "portfolio", progress=lambda name: stages.append((name, time.perf_counter())))
    ends = [*(at for _, at in stages[1:]), time.perf_counter()]
    seconds = {name: end - at for (name, at), end in zip(stages, ends, strict=True)}
    seconds["ranking"] -= steps.pop("dump")
    return {"stages": seconds, "steps": steps, "peak_mb": _peak()}


def in_pandas_too(folder: Path) -> dict[str, Any]:
    """Seconds of the same scoring and sums in pandas from the same tables, and how far they are from ours."""
    tables = in_pandas.read(folder / "steps", [*DUMPED, *REFERENCE])
    ours = {name: tables[name] for name in ("material_scores", "item_exposures", "building_exposures")}
    started = time.perf_counter()
    scores = in_pandas.material(tables["readings"], tables["item_conditions"], tables, textured=1)
    scored = time.perf_counter()
    items, buildings = in_pandas.exposure(tables)
    summed = time.perf_counter()
    return {
        "scoring": scored - started,
        "summing": summed - scored,
        "peak_mb": _peak(),
        "differences": [
            _difference(ours["material_scores"], scores, "id", "material_high"),
            _difference(ours["item_exposures"], items, "item_id", "exceedances"),
            _difference(ours["building_exposures"], buildings, "building_ref", "exceedances_known"),
        ],
    }


def pages(folder: Path) -> dict[str, float]:
    """Milliseconds, warm median, of what the Building page asks for the first building, and of the ranked list."""
    database = folder / "portfolio" / run.RESULT
    with queries.opened(database) as con:
        rank: dict[str, Any] = dict.fromkeys(queries.load("answers", "ranked_buildings").parameters)
        ranked = queries.rows(con, "answers", "ranked_buildings", **rank | {"by": "score", "top": 40})
        building = ranked["building_ref"].iloc[0]
        home = queries.rows(con, "answers", "building", building_ref=building)["worst_property_ref"].iloc[0]

        def page() -> None:
            queries.rows(con, "answers", "building", building_ref=building)
            queries.rows(con, "answers", "building_properties", building_ref=building)
            for name in ("property_items", "property_entries", "property_possible"):
                queries.rows(con, "answers", name, property_ref=home)

        return {
            "building": _median(page),
            "ranked": _median(
                lambda: queries.rows(con, "answers", "ranked_buildings", **rank | {"by": "score", "top": 40})
            ),
        }


def _median(ask: Callable[[], object]) -> float:
    times = []
    for _ in range(REPEATS):
        started = time.perf_counter()
        ask()
        times.append(1000 * (time.perf_counter() - started))
    return statistics.median(times)


def _difference(ours: Any, theirs: Any, key: str, column: str) -> float:
    """The largest difference of a column, relative to figures of 0.001 and more (sums keep 15 decimals)."""
    both = ours[[key, column]].astype({key: str}).merge(theirs[[key, column]].astype({key: str}), on=key, how="outer")
    one, other = (both[f"{column}_{side}"].to_numpy("float64") for side in ("x", "y"))
    return float(np.max(np.abs(one - other) / np.maximum(np.abs(one), 1e-3)))


def _peak() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // MEGABYTE


def table(
    folder: Path, low: dict[str, Any], made: dict[str, Any], panda: dict[str, Any], page: dict[str, float]
) -> str:
    """What was measured, in Markdown."""
    seconds, steps = low["seconds"], made["steps"]
    ours = {"scoring": sum(steps[name] for name in SCORING)}
    ours["summing"] = steps["exposure_profiles"] + sum(steps[name] for name in SUMMING)
    with queries.opened(folder / "portfolio" / run.RESULT) as con:
        files = queries.rows(con, "answers", "files")
    entries = int(files.loc[files["kind"] == "registers", "rows_used"].sum())
    csv = sum(file.stat().st_size for file in (folder / "portfolio").rglob("*.csv"))
    size = (folder / "portfolio" / run.RESULT).stat().st_size
    total = sum(made["stages"].values())
    lines = [f"| {entries:,} entries | seconds | x floor | peak |", "|---|---|---|---|"]
    lines.append(f"| floor: the csv files stored as text | {seconds:.1f} | 1 | {low['peak_mb']:,} MB |")
    lines += [f"| {name} | {took:.1f} | {took / seconds:.1f} | |" for name, took in made["stages"].items()]
    lines.append(f"| **whole build** | {total:.1f} | {total / seconds:.1f} | {made['peak_mb']:,} MB |")
    for name, what in (("scoring", "material scores"), ("summing", "exposure sums")):
        lines.append(f"| {what}, ours | {ours[name]:.2f} | | |")
        lines.append(f"| {what}, in pandas | {panda[name]:.2f} | {panda[name] / ours[name]:.1f} x ours | |")
    lines.append(f"| a building's page, the ranked list | {page['building']:.0f} ms, {page['ranked']:.0f} ms | | |")
    lines.append(f"| database beside its csv files | | {size / csv:.1f} x their size | |")
    return "\n".join(lines)


PARTS: dict[str, Callable[[Path], dict[str, Any]]] = {
    "floor": floor,
    "build": build,
    "pandas": in_pandas_too,
    "pages": pages,
}


def measured(folder: Path, part: str) -> Any:
    """A part in a process of its own."""
    call = [sys.executable, __file__, "--part", part, "--to", str(folder)]
    return json.loads(subprocess.run(call, check=True, capture_output=True, text=True).stdout.splitlines()[-1])


def main() -> None:
    """Make the portfolio if it is not there, measure every part, print the table."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--properties", type=int, default=16_000)
    arguments.add_argument("--to", type=Path, required=True)
    arguments.add_argument("--part", choices=PARTS)
    given = arguments.parse_args()
    if given.part:
        print(json.dumps(PARTS[given.part](given.to)))
        return
    if not (given.to / "portfolio").is_dir():
        maker = [sys.executable, str(ROOT / "sample_data" / "make.py"), "--plain", "--to", str(given.to)]
        subprocess.run([*maker, "--size", str(given.properties)], check=True)
    low, made, panda, page = (measured(given.to, part) for part in PARTS)
    assert max(panda["differences"]) < 1e-9, panda["differences"]
    print(table(given.to, low, made, panda, page))


if __name__ == "__main__":
    main()
