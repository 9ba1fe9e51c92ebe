"""Registers in layouts of invented firms, each with the truth of its rows beside it: what is read, and what is told.

The truth was written from the meaning of the fields alone, without a look at the reader. A cell `?` is one that an
honest reader cannot know, `a|b` leaves two readings open, `common:B1` stands for the common parts of block B1.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

import duckdb
import pytest

from tests import portfolios

CASES = portfolios.cases("truth.csv")
FIELDS = (
    "property_ref",
    "surveyed_on",
    "place",
    "product",
    "identification",
    "asbestos_types",
    "extent",
    "extent_unit",
    "damage_score",
    "surface_treatment_score",
    "asbestos_type_score",
    "product_type_score",
    "sample_ref",
    "accessibility",
)
READ = f"""
    select coalesce(e.sheet, '') as sheet, e.row_number, e.doubts, {", ".join(f"e.{name}" for name in FIELDS)},
    case when p.part = 'common parts' then 'common:' || e.building_ref end as common_parts
    from entries as e inner join properties as p using (property_ref) order by all
"""
LEAST_RIGHT = 0.94

Entry = dict[str, Any]
Place = tuple[str, int]


@dataclass(frozen=True)
class Read:
    """A truth beside what a build made of it: rows of items, entries and rows set aside by sheet and row."""

    truth: dict[Place, list[dict[str, str]]]
    entries: dict[Place, list[Entry]]
    aside: set[Place]

    def faults(self, place: Place) -> list[list[tuple[str, list[str]]]] | None:
        """For each item of a row, the fields that are wrong with the doubts about their entry; None where it is not
        used."""
        wanted, left = self.truth[place], list(self.entries.get(place, []))
        if len(wanted) != len(left):
            return None
        found = []
        for row in wanted:
            entry = min(left, key=lambda entry: len(list(wrong(row, entry))))
            left.remove(entry)
            found.append([(name, entry["doubts"]) for name in wrong(row, entry)])
        return found


def wrong(wanted: dict[str, str], entry: Entry) -> Iterator[str]:
    return (name for name in FIELDS if not any(alike(one, entry, name) for one in wanted[name].split("|")))


def alike(wanted: str, entry: Entry, name: str) -> bool:
    value = entry[name]
    if wanted == "?" or (wanted == "" and value in (None, [])):
        return True
    if wanted.startswith("common:"):
        return bool(wanted == entry["common_parts"])
    if value in (None, []) or wanted == "":
        return False
    if isinstance(value, float | int):
        return abs(float(wanted) - value) <= max(0.011, 0.005 * abs(value))
    return wanted == ("+".join(value) if isinstance(value, list) else str(value)[: len(wanted)])


def by_place(rows: list[dict[str, Any]]) -> dict[Place, list[dict[str, Any]]]:
    ordered = sorted(rows, key=lambda row: (row["sheet"], int(row["row_number"])))
    return {
        place: list(group) for place, group in groupby(ordered, key=lambda row: (row["sheet"], int(row["row_number"])))
    }


@pytest.fixture(scope="module", params=CASES)
def read(request: pytest.FixtureRequest) -> Read:
    case: Path = request.param
    database = portfolios.of_case(case)
    with (case / "truth.csv").open(encoding="utf-8", newline="") as opened:
        truth = [row for row in csv.DictReader(opened) if row["kind"] in ("item", "aside")]
    with duckdb.connect(str(database), read_only=True) as con:
        entries = con.execute(READ).df().astype(object).replace({float("nan"): None}).to_dict("records")
        aside = con.execute("select coalesce(sheet, ''), row_number from set_aside_rows").fetchall()
    for entry in entries:
        entry |= {name: list(entry[name]) for name in ("asbestos_types", "doubts")}
    return Read(
        by_place(truth), by_place([{str(key): value for key, value in row.items()} for row in entries]), set(aside)
    )


def items(read: Read) -> list[Place]:
    return [place for place, rows in read.truth.items() if rows[0]["kind"] == "item"]


def test_nearly_every_item_is_right_in_every_field(read: Read) -> None:
    n_right = sum(not faults for place in items(read) for faults in read.faults(place) or [])
    assert n_right >= LEAST_RIGHT * sum(len(read.truth[place]) for place in items(read))


def test_no_field_is_wrong_without_a_doubt_about_it(read: Read) -> None:
    wrongs = [(place, fault) for place in items(read) for faults in read.faults(place) or [] for fault in faults]
    assert [(place, name) for place, (name, doubts) in wrongs if name not in doubts] == []


def test_what_is_not_used_is_set_aside_with_a_reason(read: Read) -> None:
    unused = [place for place in read.truth if place not in read.entries]
    assert [place for place in unused if place not in read.aside] == []
    assert [place for place, rows in read.truth.items() if rows[0]["kind"] == "aside" and place in read.entries] == []
