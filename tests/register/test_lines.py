"""What a line above items says of them."""

from datetime import date

import pytest

from pipelines.register import layout
from pipelines.register.contents import Contents
from pipelines.register.dates import days
from pipelines.register.lines import Sheet, repeated
from pipelines.register.reader import Reader


@pytest.fixture
def sheet() -> Sheet:
    stock = {"property_ref": frozenset({"50303"})}
    return Sheet("registers/a.csv", None, Reader("registers", {}, {}, Contents({}, stock), 0.8, 0.5, 3))


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("Flat 5, Juniper House   Ref 50303   Inspected 01/10/2013", "01/10/2013"),
        ("50303 surveyed on: 3 February 2021", "3 February 2021"),
        ("50303 Inspected annually", None),
        ("50303 Juniper House", None),
    ],
)
def test_a_line_names_its_property_and_the_day_of_the_visit(line: str, day: str | None, sheet: Sheet) -> None:
    said = sheet.at(line)
    assert said["property_ref"] == "50303"
    assert said.get("surveyed_on") == day


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "12 Larkspur Rise, ZZ7 3AB - surveyed 6 May 2014 by J. Smith",
            "12 Larkspur Rise, ZZ7 3AB|6 May 2014|J. Smith",
        ),
        ("12 Larkspur Rise (J. Smith, 06/05/2014)", "12 Larkspur Rise|06/05/2014|J. Smith"),
        ("12 Larkspur Rise, ZZ7 3AB - 06/05/2014 - J Smith", "12 Larkspur Rise, ZZ7 3AB|06/05/2014|J Smith"),
        ("12 Larkspur Rise   Survey date: 06/05/2014   Surveyor: J Smith", "12 Larkspur Rise|06/05/2014|J Smith"),
        ("12 Larkspur Rise | 6th May 2014 | Surveyor J. Smith", "12 Larkspur Rise|6th May 2014|J. Smith"),
        ("12 Larkspur Rise, Alder", "12 Larkspur Rise, Alder||"),
        ("12 Larkspur Rise - inspected Tuesday 5 March 2019", "12 Larkspur Rise|Tuesday 5 March 2019|"),
        ("V20117   12 LARKSPUR RISE, ALDER", "12 LARKSPUR RISE, ALDER||"),
        ("Flat 1/2, 12 Larkspur Rise", "Flat 1/2, 12 Larkspur Rise||"),
    ],
)
def test_a_line_names_a_property_the_day_and_who_came(line: str, said: str, sheet: Sheet) -> None:
    heard = sheet.at(line)
    assert "|".join(heard.get(name, "") for name in ("address", "surveyed_on", "surveyor")) == said


@pytest.mark.parametrize("line", ["Flat A", "Flat 3", "12", "Unit B", "Apt 4a", "Top Floor Flat"])
def test_a_line_below_a_block_names_a_home_of_it(line: str, sheet: Sheet) -> None:
    sheet.hear({"address": "27 Tanner Row"})
    address = sheet.at(line)["address"]
    assert address.endswith(f"{line}, 27 Tanner Row")


@pytest.mark.parametrize("line", ["Loft", "A", "Flat roof", "No access"])
def test_other_lines_below_a_block_name_no_home(line: str, sheet: Sheet) -> None:
    sheet.hear({"address": "27 Tanner Row"})
    assert sheet.names(line) in (None, {"address": line})


def test_a_line_that_names_several_days_gives_the_first_and_tells_of_the_others() -> None:
    said = dict(layout.labelled(["Surveyed 15/05/08 (flats 4-6 on 22/05/08)"], lambda _: None))
    assert said["surveyed_on"] == "15/05/08 (also 22/05/08)"
    assert days([said["surveyed_on"]], date(2026, 10, 1)) == [(date(2008, 5, 15), "several")]


def test_of_the_days_of_several_visits_the_last_stands_beside_the_others() -> None:
    row = ["ELM HOUSE", "Date of visit:", "11.3.15", "no visit", "20.3.17"]
    said = dict(layout.labelled(row, lambda text: "surveyed_on" if text == "Date of visit" else None))
    assert said["surveyed_on"] == "20.3.17 (also 11.3.15)"


def test_an_address_goes_on_below_its_label() -> None:
    rows = [
        (1, ["Address", "Flat 2", "Date", "2008-03-11"]),
        (2, ["", "Elm House", "Client", "Somebody"]),
        (3, ["", "High Street"]),
    ]
    heading = layout.Block(4, 4, (("Room",), ("What",), ("How much",), ("State",), ("Sample",), ("Result",)))
    fields = {"Address": "address", "Date": "surveyed_on"}
    found = layout.above(rows, heading, 0, fields.get)
    assert found.labelled == {"address": "Flat 2, Elm House, High Street", "surveyed_on": "2008-03-11"}


@pytest.mark.parametrize("line", ["Next visits due April 2025. Ring us before any drilling.", "COMMUNAL AREAS"])
def test_a_remark_names_no_property(line: str, sheet: Sheet) -> None:
    assert sheet.names(line) is None


def test_a_day_left_blank_beside_a_ditto_is_the_one_above() -> None:
    rows = [(1, ["3 Elm Road", "6.3.06", "Hall"]), (2, ["ditto", "", "Loft"]), (3, ["4 Elm Road", "", "Loft"])]
    assert list(repeated(rows, {0})) == [(2, ["3 Elm Road", "6.3.06", "Loft"])]
    assert list(repeated(rows)) == [(2, ["3 Elm Road", "", "Loft"])]
