"""What a line above items says of them."""

import pytest

from pipelines.register.columns import Reader
from pipelines.register.contents import Contents
from pipelines.register.lines import Sheet


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
