"""Same in, same out: threads, the order of files and the seed of Python's hashes change nothing."""

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from pipelines import sources
from tests import portfolios

BUILD = """
import sys
from pathlib import Path
from tests import portfolios
portfolios.build(Path(sys.argv[1]), out=Path(sys.argv[2]))
"""


def test_one_thread_and_another_order_of_files_change_nothing(
    sample_folder: Path, sample_result: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_order = sources.find(sample_folder)
    shuffled = random.Random(7).sample(in_order, len(in_order))
    assert shuffled != in_order
    monkeypatch.setattr(sources, "find", lambda folder: shuffled)
    built = portfolios.build(sample_folder, out=tmp_path / "portfolio.duckdb", threads=1)
    assert portfolios.differences(portfolios.tables(sample_result), portfolios.tables(built)) == {}


def test_the_seed_of_hashes_changes_nothing(sample_folder: Path, sample_result: Path, tmp_path: Path) -> None:
    built = tmp_path / "portfolio.duckdb"
    environment = os.environ | {"PYTHONHASHSEED": "1" if os.environ.get("PYTHONHASHSEED") == "0" else "0"}
    subprocess.run([sys.executable, "-c", BUILD, str(sample_folder), str(built)], env=environment, check=True)
    assert portfolios.differences(portfolios.tables(sample_result), portfolios.tables(built)) == {}
