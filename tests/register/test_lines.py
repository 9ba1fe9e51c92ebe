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
