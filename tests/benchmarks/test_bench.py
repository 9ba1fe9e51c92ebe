"""The benchmark runs, and what it writes in pandas agrees with what a build works out. Times are not tested."""

from pathlib import Path

import duckdb
import pandas as pd
import pytest

from tests.benchmarks import bench_build, bench_formats, comparison, measures
from tests.sources.reading import rows

PROPERTIES = 150


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[measures.Files, measures.Report]:
    """A tiny portfolio, built, with its report."""
    files = measures.Files(tmp_path_factory.mktemp("bench") / "tiny")
    measures.make_portfolio(files, PROPERTIES)
    return files, measures.build(files)


def test_stages_add_up_to_the_build(built: tuple[measures.Files, measures.Report]) -> None:
    files, report = built
    stages = report["stages"]
    assert sum(stages.values()) <= report["seconds"]
    assert stages["reading files"] < report["matched"] < report["seconds"]
    assert report["entries"] > 2 * PROPERTIES
    assert report["bytes"] == files.result.stat().st_size


def test_pandas_and_the_build_agree(built: tuple[measures.Files, measures.Report]) -> None:
    compared = comparison.compare(built[0])
    assert compared["scoring"]["rows"] > compared["exposure"]["rows"] > PROPERTIES


def test_a_difference_is_found() -> None:
    frame = pd.DataFrame({"id": ["a", "b"], "score": [1.0, 2.0]})
    assert comparison.agree(frame, frame[::-1], ["id"]) == 2
    with pytest.raises(AssertionError):
        comparison.agree(frame, frame.assign(score=[1.0, 2.0 + 1e-6]), ["id"])


def test_tables_are_markdown(built: tuple[measures.Files, measures.Report], monkeypatch: pytest.MonkeyPatch) -> None:
    files, report = built
    monkeypatch.setattr(measures, "WARM", 1)
    told = bench_build._of_build(files, measures.floor(files), report)
    asked = bench_build._of_pages(measures.pages(files))
    assert "x floor" in told and "recognised and matched" in told and "times its csv files" in told
    assert "`item_exposures`" in asked
    assert len({line.count("|") for line in asked.splitlines()}) == 1


def test_every_format_is_measured(tmp_path: Path) -> None:
    files = bench_formats.make(tmp_path, bench_formats.cells(60))
    told = bench_formats.measure(tmp_path, rows=60, repeats=1).splitlines()
    labels = [line.split("|")[1].strip() for line in told[2:]]
    assert [label for label in labels if not label.endswith("kept from before")] == list(files)
    assert len(labels) == len(files) + len({"xlsx", "ods"})
    assert len({line.count("|") for line in told}) == 1


def test_a_bare_read_gives_the_same_cells(tmp_path: Path) -> None:
    table = bench_formats.cells(60)
    for label, (file, count) in bench_formats.make(tmp_path, table).items():
        wanted = bench_formats.broken(table) if "line breaks" in label else table[: count + 1]
        # the row with the stray quote is left out: what it means is a matter of the reader
        assert [cells for _, cells in rows(file)][: len(wanted)] == wanted, label
        assert bare_cells(file, tmp_path / f"{label}.duckdb")[:count] == wanted[1:], label


def bare_cells(file: Path, database: Path) -> list[list[str]]:
    if file.suffix not in bench_formats.READERS:
        return [[str(cell) for cell in row] for row in bench_formats.workbook_rows(file)][1:]
    bench_formats.bare(file, database)
    with duckdb.connect(str(database), read_only=True) as con:
        found = con.execute("from file").fetchall()
    return [[cell or "" for cell in row] for row in found]
