"""The words and headings of the reference tables, as a build without a person's own would read registers by them."""

import csv
from collections import defaultdict
from collections.abc import Iterator

import pytest

from pipelines import queries
from pipelines.register.contents import Contents
from pipelines.register.reader import Reader
from pipelines.register.words import plain


def reference(table: str) -> Iterator[dict[str, str]]:
    with (queries.REFERENCE / f"{table}.csv").open(encoding="utf-8", newline="") as rows:
        yield from csv.DictReader(rows)


@pytest.fixture(scope="module")
def terms() -> dict[str, dict[str, str]]:
    known: dict[str, dict[str, str]] = defaultdict(dict)
    for row in reference("terms"):
        known[row["field"]][plain(row["written"])] = row["term"]
    return dict(known)


@pytest.fixture(scope="module")
def reader(terms: dict[str, dict[str, str]]) -> Reader:
    known: dict[str, list[str]] = defaultdict(list)
    for row in reference("headings"):
        if row["kind"] == "registers":
            known[plain(row["heading"])].append(row["field"])
    return Reader("registers", known, {}, Contents(terms), 0.8, 0.5, 3)
