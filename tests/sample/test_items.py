"""Which rows of the sample a build takes for one item, held to the truth that the generator keeps."""

import csv
from itertools import combinations
from pathlib import Path

from tests import portfolios

TRUTH = Path(__file__).parents[2] / "sample_data" / "truth" / "rows.csv"
LEAST_RIGHT = 0.99
LEAST_FOUND = 0.97
"""Shares of pairs of rows of two visits; two firms write one home's rooms in other words, and some rows name none."""


def test_rows_of_two_visits_are_one_item_where_they_are_about_one(sample_result: Path) -> None:
    with TRUTH.open(encoding="utf-8", newline="") as opened:
        true = {(row["path"], row["sheet"], int(row["row_number"])): row["item_id"] for row in csv.DictReader(opened)}
    rows = portfolios.ask(
        sample_result,
        "select property_ref, path, coalesce(sheet, ''), row_number, surveyed_on, item_id from entries "
        "where item_id is not null order by all",
    )
    homes: dict[str, list[tuple[str, str, str]]] = {}
    for property_ref, path, sheet, number, day, item in rows:
        if known := true.get((path, sheet, number)):
            homes.setdefault(property_ref, []).append((str(day), known, item))
    counts = {(truly, taken): 0 for truly in (True, False) for taken in (True, False)}
    for home in homes.values():
        for one, other in combinations(home, 2):
            if one[0] != other[0]:
                counts[one[1] == other[1], one[2] == other[2]] += 1
    assert counts[True, True] > 3_000
    assert counts[True, True] / (counts[True, True] + counts[False, True]) >= LEAST_RIGHT
    assert counts[True, True] / (counts[True, True] + counts[True, False]) >= LEAST_FOUND
