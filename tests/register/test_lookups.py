"""Sheets of a workbook that refer to each other. The tables are invented."""

import csv
from collections import defaultdict
from importlib import resources

import pytest

from pipelines.register import lookups
from pipelines.register.contents import Contents
from pipelines.register.reader import Reader
from pipelines.register.words import plain

SURVEYS = [
    (1, ["Survey", "Your ref.", "Property", "Date of survey"]),
    (2, ["OC01", "H1", "1 Elm Road", "2011-09-19"]),
    (3, ["OC02", "H2", "2 Elm Road", "2011-09-20"]),
]
ITEMS = [
    (1, ["Register of materials"]),
    (2, ["Survey", "Location", "Material", "Basis"]),
    (3, ["OC01", "Hall", "Floor tiles", "Presumed"]),
    (4, ["OC02", "Loft", "Tank"]),
    (5, ["OC09", "Loft", "Tank"]),
    (6, ["OC02", "Roof", "Felt"]),
    (7, ["OC01", "Roof", "Felt"]),
]


@pytest.fixture(scope="module")
def readers() -> dict[str, Reader]:
    known: dict[str, dict[str, list[str]]] = {"registers": defaultdict(list), "samples": defaultdict(list)}
    with (resources.files("pipelines") / "reference" / "headings.csv").open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            if row["kind"] in known:
                known[row["kind"]][plain(row["heading"])].append(row["field"])
    return {kind: Reader(kind, words, {}, Contents({}), 0.8, 0.5, 3) for kind, words in known.items()}


def test_items_take_property_and_day_from_the_sheet_that_their_key_stands_on(readers: dict[str, Reader]) -> None:
    lookup = lookups.lookup_of(SURVEYS, readers["registers"])
    assert lookup and lookup.key == "survey"
    assert dict(lookups.extended(ITEMS, [lookup], readers["registers"])) == {
        2: ["Survey", "Location", "Material", "Basis", "Your ref.", "Property", "Date of survey"],
        3: ["OC01", "Hall", "Floor tiles", "Presumed", "H1", "1 Elm Road", "2011-09-19"],
        4: ["OC02", "Loft", "Tank", "", "H2", "2 Elm Road", "2011-09-20"],
        6: ["OC02", "Roof", "Felt", "", "H2", "2 Elm Road", "2011-09-20"],
        7: ["OC01", "Roof", "Felt", "", "H1", "1 Elm Road", "2011-09-19"],
    }


def test_a_key_that_comes_twice_or_is_mostly_unknown_tells_nothing(readers: dict[str, Reader]) -> None:
    twice = [*SURVEYS, (4, ["OC01", "H3", "3 Elm Road", "2011-09-21"])]
    assert lookups.lookup_of(twice, readers["registers"]) is None
    lookup = lookups.lookup_of(SURVEYS, readers["registers"])
    assert lookup
    strangers = [(number, [cells[0].replace("OC0", "X"), *cells[1:]]) for number, cells in ITEMS]
    assert list(lookups.extended(strangers, [lookup], readers["registers"])) == []


def test_what_names_its_property_itself_looks_nothing_up(readers: dict[str, Reader]) -> None:
    lookup = lookups.lookup_of(SURVEYS, readers["registers"])
    assert lookup
    own = [(2, ["Survey", "Property ref", "Location", "Material"]), (3, ["OC01", "H9", "Hall", "Tiles"])]
    assert list(lookups.extended(own, [lookup], readers["registers"])) == []


def test_a_sheet_of_results_is_told_from_one_of_items(readers: dict[str, Reader]) -> None:
    results = [(1, ["Sample", "Certificate", "Date analysed", "Result"]), (2, ["S1", "C1", "2011-09-27", "Chrysotile"])]
    placed = [(1, ["Sample No.", "Lab Ref", "Location", "Layer description", "Date analysed", "Fibre type", "Analyst"])]
    items = [(1, ["Sample", "Location", "Date analysed", "Extent", "Result"])]
    of_homes = [(1, ["Property Ref", "Sample", "Location", "Lab Ref", "Date analysed", "Fibre type"])]
    assert lookups.is_of_results(results, readers["registers"], readers["samples"])
    assert lookups.is_of_results(placed, readers["registers"], readers["samples"])
    assert not lookups.is_of_results(items, readers["registers"], readers["samples"])
    of_rooms = [(1, ["Sample", "Location", "Date analysed", "Fibre type"])]
    assert not lookups.is_of_results(of_rooms, readers["registers"], readers["samples"])
    assert not lookups.is_of_results(of_homes, readers["registers"], readers["samples"])
