"""Registers that keep how much of an item was removed and how much remains, and what works and reviews found. That the
extent is what remains is common practice, no source. The texts are invented."""

from pathlib import Path

import pytest

from tests import portfolios

COLUMNS = ("Material", "Quantity", "Unit", "Quantity Removed", "Quantity Remaining", "Result", "Works / Review")
CASES = {
    # cells as above, then extent, status, product
    "Kitchen": (
        ("AIB panel", "6", "m2", "6", "0", "Amosite", "Removed 12/03/2024, clearance certificate 4471"),
        (6.0, "removed", "insulating_board"),
    ),
    "Bathroom": (
        ("AIB panel", "6", "m2", "2", "4", "Amosite", "Remainder sealed"),
        (4.0, "part_removed", "insulating_board"),
    ),
    "Loft": (("Cement tank", "1", "no", "0", "1", "Chrysotile", "Reviewed"), (1.0, "present", "asbestos_cement")),
    "Garage": (("Cement sheets", "20", "m2", "20", "nil", "Chrysotile", ""), (20.0, "said_removed", "asbestos_cement")),
    "WC": (("Floor tiles", "3", "m2", "3 m2", "", "Chrysotile", ""), (3.0, "said_removed", "floor_tile")),
    "Utility": (("Floor tiles", "3", "m2", "1", "", "Chrysotile", ""), (3.0, "part_removed", "floor_tile")),
    "Stairs": (("Floor tiles", "0.5", "m2", "0 m2", "0", "Chrysotile", ""), (0.5, "present", "floor_tile")),
    "Bed 2": (
        ("Floor tiles", "12", "m2", "all", "", "Presumed", "Stripped out, waste note W7"),
        (12.0, "removed", "floor_tile"),
    ),
    "Lounge": (
        ("Textured coating", "12", "m2", "", "12", "Presumed", "Removal planned"),
        (12.0, "present", "textured_coating"),
    ),
    "Hall": (("", "3", "m2", "", "3", "Chrysotile in textured coating", ""), (3.0, "present", "textured_coating")),
    "Porch": (("", "2", "m2", "", "2", "AIB - amosite", ""), (2.0, "present", "insulating_board")),
    "Store": (("", "", "", "", "", "No access behind cement tank", ""), (None, None, None)),
}


Read = dict[str, tuple[float | None, str | None, str | None, list[str]]]
"""Extent, status, product and doubts by room."""


def ask(folder: Path, columns: tuple[str, ...]) -> Read:
    rows = [
        {"Property Ref": "H1", "Survey Date": "2025-03-01", "Location": room}
        | {name: cell for name, cell in zip(COLUMNS, cells, strict=True) if name in columns}
        for room, (cells, _) in CASES.items()
    ]
    result = portfolios.build(portfolios.write(folder, {"register.csv": rows}))
    query = (
        "select e.room_text, e.extent, i.status, e.product, e.doubts from entries e left join items i using (item_id)"
    )
    return {
        room: (extent, status, product, doubts)
        for room, extent, status, product, doubts in portfolios.ask(result, query)
    }


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Read:
    return ask(tmp_path_factory.mktemp("removals"), COLUMNS)


@pytest.mark.parametrize("room", CASES)
def test_what_remains_is_the_extent_and_nothing_left_was_removed(room: str, read: Read) -> None:
    assert read[room][:3] == CASES[room][1]


def test_a_material_in_the_result_alone_is_doubted(
    read: Read,
) -> None:
    assert "product" in read["Hall"][3] and "product" in read["Porch"][3]
    assert "product" not in read["Lounge"][3]


def test_an_amount_of_which_some_was_removed_may_count_it_still(
    read: Read,
) -> None:
    assert [room for room, said in read.items() if "extent" in said[3]] == ["Utility"]


def test_what_was_removed_is_the_extent_where_no_column_has_what_was_there(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    read = ask(tmp_path_factory.mktemp("remaining"), tuple(name for name in COLUMNS if name != "Quantity"))
    assert [read[room][:2] for room in ("Kitchen", "Bathroom", "Lounge")] == [
        (6.0, "removed"),
        (4.0, "part_removed"),
        (12.0, "present"),
    ]
