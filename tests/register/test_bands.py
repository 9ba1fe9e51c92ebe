"""Returns of several firms below one heading, whose columns mean another thing in each. The texts are invented."""

import pytest

from pipelines.register import bands, layout
from pipelines.register.columns import without_repeats
from pipelines.register.contents import Contents
from pipelines.register.reader import Reader

KNOWN = {
    "ref": ["property_ref"],
    "room": ["room"],
    "type": ["product"],
    "amount": ["extent"],
    "unit": ["extent_unit"],
    "asbestos": ["asbestos_types", "identification"],
    "surface": ["surface"],
    "product": ["product_type_score"],
    "access": ["accessibility"],
}
TERMS = {
    "place": {"kitchen": "kitchen", "hall": "hall_landing"},
    "product": {"boards": "insulating_board", "tiles": "floor_tile"},
    "surface": {"sealed": "sealed", "bare": "bare"},
    "asbestos_type": {"amosite": "amosite", "chrysotile": "chrysotile"},
    "identification": {"presumed": "presumed"},
    "survey_type": {"mgmt": "management"},
    "extent_unit": {"m2": "m2"},
}
BLOCK = layout.Block(
    1,
    1,
    tuple((text,) for text in ("Ref", "Room", "Type", "Amount", "Unit", "Asbestos", "Surface", "Product", "Access")),
)
FORM = ["H1", "Kitchen", "Boards", "4", "m2", "Amosite", "1", "2", "1"]
ANSWERS = ["H2", "Hall", "Mgmt", "4 m2", "", "Yes", "Sealed", "Tiles", "Gained"]
AREAS = ["H3", "Hall", "Boards", "3", "sheets", "Chrysotile", "12 m2", "2", "Easy"]
N_ROWS = 8


@pytest.fixture
def reader() -> Reader:
    stock = {"property_ref": frozenset(("h1", "h2", "h3")), "street": frozenset(("elm close",))}
    return Reader("registers", KNOWN, {}, Contents(TERMS, stock), 0.8, 0.5, 3)


def numbered(*parts: list[list[str]]) -> list[layout.Numbered]:
    return list(enumerate((cells for part in parts for cells in part), start=2))


def fields(rows: list[layout.Numbered], reader: Reader) -> dict[int, list[str | None]]:
    parts = bands.parted(rows, reader)
    found = bands.of_each(BLOCK, parts, [cells for _, cells in rows], reader)
    return {line: [column.field for column in without_repeats(read)] for line, read in found}


def test_each_return_has_what_its_columns_hold(reader: Reader) -> None:
    rows = numbered(
        [["RETURN 1 of 3 - First Firm"]],
        [FORM] * N_ROWS,
        [["RETURN 2 of 3 - Second Firm"]],
        [ANSWERS] * N_ROWS,
        [["RETURN 3 of 3 - Third Firm"]],
        [AREAS] * N_ROWS,
    )
    read = fields(rows, reader)
    by_form = ["property_ref", "room", "product", "extent", "extent_unit", "asbestos_types", "surface"]
    assert read == {
        0: [*by_form, "product_type_score", "accessibility"],
        11: [
            *("property_ref", "room", "survey_type", "extent", "extent_unit", "identification", "surface"),
            *("product", "accessed"),
        ],
        20: [*by_form[:6], "extent", "product_type_score", "accessibility"],
    }


def test_returns_alike_are_one_table(reader: Reader) -> None:
    rows = numbered([FORM] * N_ROWS, [["RETURN 2 - Second Firm"]], [FORM] * N_ROWS)
    assert list(fields(rows, reader)) == [0]


def test_a_few_rows_or_cells_change_no_meaning(reader: Reader) -> None:
    few = numbered([FORM] * N_ROWS, [["RETURN 2 - Second Firm"]], [ANSWERS] * (N_ROWS - 1))
    sparse = [["H3", "Hall", "Boards", "3", "", "", "12 m2", "", ""]] * 2 + [["H3", "Hall", "Boards", *[""] * 6]] * 8
    assert list(fields(few, reader)) == [0]
    assert list(fields(numbered([FORM] * N_ROWS, [["RETURN 2 - Third Firm"]], sparse), reader)) == [0]


@pytest.mark.parametrize("line", ["4 Elm Close", "H2", "Elm Close, odd numbers", "Kitchen", "Flat 3, The Court"])
def test_lines_that_name_homes_or_rooms_part_no_returns(line: str, reader: Reader) -> None:
    rows = numbered([FORM] * N_ROWS, [[line]], [ANSWERS] * N_ROWS)
    assert [band.line for band in bands.parted(rows, reader)] == [0]


def test_a_heading_that_fits_nowhere_is_believed(reader: Reader) -> None:
    odd = [*FORM[:6], "n/s", *FORM[7:]]
    rows = numbered([odd] * N_ROWS, [["RETURN 2 - Third Firm"]], [AREAS] * N_ROWS)
    assert fields(rows, reader)[0][6] == "surface"


def test_contents_take_nothing_from_the_column_that_has_it(reader: Reader) -> None:
    presumed = [*FORM[:6], "Amosite", *FORM[7:]]
    rows = numbered([FORM] * N_ROWS, [["RETURN 2 - Second Firm"]], [presumed] * N_ROWS)
    assert list(fields(rows, reader)) == [0]
