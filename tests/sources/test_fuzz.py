"""Damaged files and random bytes under any name are read or refused, and nothing else happens; a portfolio of them is
built. tests/sources/fuzz.py does the same for as long as one likes."""

import random
from collections import Counter
from pathlib import Path

import pytest

from pipelines.sources.contents import ENDINGS
from tests.sources import fuzz
from tests.sources.fuzz import damaged, good, is_read


@pytest.mark.parametrize("seed", range(20))
def test_damaged_files_are_read_or_refused(seed: int, tmp_path: Path) -> None:
    chance = random.Random(seed)
    contents = good(tmp_path)
    outcomes = [
        is_read(damaged(chance.choice(contents), chance), chance.choice(sorted(ENDINGS)), tmp_path) for _ in range(60)
    ]
    assert set(outcomes) == {True, False}


def test_sound_files_are_read_under_any_name(tmp_path: Path) -> None:
    for content in good(tmp_path):
        assert all(is_read(content, ending, tmp_path) for ending in ENDINGS)


def test_a_portfolio_of_damaged_files_is_built(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fuzz, "READS", 5)
    told, sound = Counter[str](), fuzz.sound_files()
    for nth in range(1, 10):
        # which files a turn draws moves with every new case, and of some draws no more can be said than what to mend
        fuzz.turn(f"1 {nth}", sound, told)
        if told["builds"]:
            break
    assert told["builds"] == 1
    assert set(told) <= {"files read", "files refused", "builds", "builds that said what to mend"}
