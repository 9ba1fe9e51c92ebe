"""The benchmark's pandas comes to the same figures as the build, and its table can be made."""

import subprocess
import sys
from pathlib import Path

from tests.benchmarks import bench_build

MAKER = bench_build.ROOT / "sample_data" / "make.py"


def test_pandas_agrees_with_the_build_and_every_part_is_measured(tmp_path: Path) -> None:
    subprocess.run([sys.executable, MAKER, "--plain", "--size", "150", "--to", tmp_path], check=True)
    parts = {part: bench_build.measured(tmp_path, part) for part in bench_build.PARTS}
    assert max(parts["pandas"]["differences"]) < 1e-9
    assert "**whole build**" in bench_build.table(tmp_path, *parts.values())
