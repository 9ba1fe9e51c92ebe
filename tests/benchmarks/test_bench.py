"""The benchmark runs, and what it writes in pandas agrees with what a build works out. Times are not tested."""

from pathlib import Path

import pandas as pd
import pytest

from tests.benchmarks import bench_build, bench_formats

PROPERTIES = 150


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[bench_build.Files, bench_build.Report]:
    """A tiny portfolio, built, with its report."""
    files = bench_build.Files(tmp_path_factory.mktemp("bench") / "tiny")
    bench_build.make_portfolio(files, PROPERTIES)
    return files, bench_build.build(files)


def test_stages_add_up_to_the_build(built: tuple[bench_build.Files, bench_build.Report]) -> None:
    files, report = built
    assert sum(report["stages"].values()) <= report["seconds"]
    assert report["entries"] > 2 * PROPERTIES
    assert report["bytes"] == files.result.stat().st_size


def test_pandas_and_the_build_agree(built: tuple[bench_build.Files, bench_build.Report]) -> None:
    compared = bench_build.compare(built[0])
    assert compared["scoring"]["rows"] > compared["exposure"]["rows"] > PROPERTIES


def test_a_difference_is_found() -> None:
    frame = pd.DataFrame({"id": ["a", "b"], "score": [1.0, 2.0]})
    assert bench_build.agree(frame, frame[::-1], ["id"]) == 2
    with pytest.raises(AssertionError):
        bench_build.agree(frame, frame.assign(score=[1.0, 2.0 + 1e-6]), ["id"])


def test_tables_are_markdown(
    built: tuple[bench_build.Files, bench_build.Report], monkeypatch: pytest.MonkeyPatch
) -> None:
    files, report = built
    monkeypatch.setattr(bench_build, "WARM", 1)
    told = bench_build._of_build(files, bench_build.floor(files), report)
    asked = bench_build._of_pages(bench_build.pages(files))
    assert "x floor" in told and "times its csv files" in told
    assert "`item_exposures`" in asked
    assert len({line.count("|") for line in asked.splitlines()}) == 1


def test_every_format_is_measured(tmp_path: Path) -> None:
    told = bench_formats.measure(tmp_path, rows=60, repeats=1).splitlines()
    assert [line.split("|")[1].strip() for line in told[2:]] == [
        "csv, quotes in order",
        "csv, one stray quote",
        "tsv without quotes",
        "tsv in UTF-16",
        "json lines",
        "parquet",
        "xlsx",
        "xlsx, kept from before",
    ]
