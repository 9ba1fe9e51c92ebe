"""Where things outdoors are, by their names in `reference/outdoor_things.csv`: the first that fits stands."""

import csv
import re
from pathlib import Path

import pytest

from pipelines import register

THINGS = Path(register.__file__).parents[1] / "reference" / "outdoor_things.csv"


@pytest.mark.parametrize(
    ("written", "place"),
    [
        ("r.w.p. bottom length", "external_low"),
        ("downpipe, lower 2 m", "external_low"),
        ("bottom section of downpipe", "external_low"),
        ("rwp and hopper", "external_wall"),
        ("downpipe, bottom of garden", "external_wall"),
        ("r.w.p. to slate roof", "external_wall"),
        ("soffit above lower part of downpipe", "eaves"),
        ("slates", "roof"),
    ],
)
def test_pipes_are_in_reach_where_their_lower_part_is_meant(written: str, place: str) -> None:
    with THINGS.open(encoding="utf-8") as file:
        rows = sorted(csv.DictReader(file), key=lambda row: int(row["nth"]))
    assert next(row["place"] for row in rows if re.search(row["written"], written)) == place
