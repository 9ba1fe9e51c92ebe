"""Same in, same out: threads, the order of files and the seed of Python's hashes change nothing."""

import os
import subprocess
import sys
from pathlib import Path

from tests import portfolios

BUILD = """
import random, sys
from pathlib import Path
from pipelines import sources
from tests import portfolios
folder, result = map(Path, sys.argv[1:])
in_order = sources.find(folder)
shuffled = random.Random(7).sample(in_order, len(in_order))
assert shuffled != in_order
sources.find = lambda folder: shuffled
portfolios.build(folder, threads=1, out=result)
"""


def test_one_thread_another_order_of_files_and_another_seed_of_hashes_change_nothing(
    sample_folder: Path, sample_result: Path, tmp_path: Path
) -> None:
    built = tmp_path / "portfolio.duckdb"
    environment = os.environ | {"PYTHONHASHSEED": "1" if os.environ.get("PYTHONHASHSEED") == "0" else "0"}
    subprocess.run([sys.executable, "-c", BUILD, str(sample_folder), str(built)], env=environment, check=True)
    assert portfolios.differences(portfolios.tables(sample_result), portfolios.tables(built)) == {}
