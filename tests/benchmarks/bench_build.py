"""How long a build takes and how much memory, against merely loading the same files, and against pandas.

    python tests/benchmarks/bench_build.py --entries 100000 [--to DIR] [--repeats 3]

Makes a portfolio of about so many register entries (or takes the one that is there) and prints tables for the README.
Times are medians, in seconds unless said otherwise; every measurement has a process of its own, so that its peak of
memory is its own. What else the machine does meanwhile shows in the times: read the ratios.
"""

import argparse
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks.comparison import compare
from tests.benchmarks.measures import ROOT, Files, Report, build, floor, make_portfolio, pages

ENTRIES_PER_PROPERTY = 6.32
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
            (f"With all of it opened, {asked['questions_opened']} questions", f"{asked['opened']:.0f}"),
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
