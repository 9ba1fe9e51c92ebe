"""Tables written across, taken apart: groups of columns with a number, headings that begin anew, grids."""

import pytest

from pipelines.register import across
from pipelines.register.key import Key
from pipelines.register.reader import Reader

Rows = list[tuple[int, list[str]]]


def table_of(text: str) -> Rows:
    lines = [line.strip() for line in text.strip().splitlines()]
    return [(number, [cell.strip() for cell in line.split("|")]) for number, line in enumerate(lines, start=1) if line]


def lines(rows: Rows, reader: Reader) -> list[tuple[int, list[str]]]:
    """The source row and the filled cells of each line."""
    tables = across.find(rows, reader, ())
    return [(source, [cell for cell in cells if cell]) for _, source, _, cells, _ in across.lines_of(rows, tables)]


@pytest.mark.parametrize(
    "heading",
    [
        "Ref | Item1_place | Item1_product | Item2_place | Item2_product | Item 3 place | Item 3 product",
        "Ref | Place 1 | Product 1 | Place 2 | Product 2 | Place 3 | Product 3",
        "Ref | Place | Product | Place (2) | Product (2) | Place (3) | Product (3)",
        "Ref | First place | First product | Second place | Second product | Third place | Third product",
        "Ref | Place | Product | Place | Product | Place | Product",
    ],
)
def test_groups_of_columns_become_a_line_each(heading: str, reader: Reader) -> None:
    rows = table_of(f"{heading}\nP1 | Hall | AIB panel | | | Loft | Lagging\nP2 | | | | | |")
    read = lines(rows, reader)
    assert [source for source, _ in read] == [1, 2, 2, 3]
    assert [cells for _, cells in read[1:]] == [
        ["P1", "1", "Hall", "AIB panel"],
        ["P1", "3", "Loft", "Lagging"],
        ["P2"],
    ]


def test_a_cell_that_says_that_nothing_is_in_that_room_is_no_item(reader: Reader) -> None:
    rows = table_of(
        "Address | Kitchen | Hall | Loft\n1 Elm Road | nothing found in that room | AIB, presumed | Lagging, presumed\n"
        "2 Elm Road | AIB, presumed | nothing found in that room | Lagging, presumed"
    )
    assert [cells[:2] for _, cells in lines(rows, reader)[1:]] == [
        ["1 Elm Road", "Hall"],
        ["1 Elm Road", "Loft"],
        ["2 Elm Road", "Kitchen"],
        ["2 Elm Road", "Loft"],
    ]


def test_cells_of_a_grid_are_read_in_the_order_that_a_key_tells(reader: Reader) -> None:
    rows = table_of(
        "Address | Kitchen | Hall | Loft\n1 Elm Road | QB / Br / 2 / 1 / 0 | x | QP / W / 5 m / 1 / 2\n"
        "2 Elm Road | x | QB / none / 3 | QB / Br / 2 / 0 / 0"
    )
    codes = {"QB": "insulating board", "QP": "pipe lagging", "Br": "brown", "W": "white", "none": "lab found nothing"}
    order = Key("", order=("material", "fibre", "amount in m2", "damage 0-3", "surface 0-3"))
    tables = across.find(rows, reader, [Key("", codes), order, Key("", {"x": "nothing found in that room"})])
    read = [[cell for cell in cells if cell] for *_, cells, _ in across.lines_of(rows, tables)]
    assert [cells[:2] + sorted(cells[2:]) for cells in read[1:]] == [
        ["1 Elm Road", "Kitchen", "0", "1", "2 m2", "brown", "identified", "insulating board"],
        ["1 Elm Road", "Loft", "1", "2", "5 m", "identified", "pipe lagging", "white"],
        ["2 Elm Road", "Hall", "3 m2", "insulating board", "lab found nothing"],
        ["2 Elm Road", "Loft", "0", "0", "2 m2", "brown", "identified", "insulating board"],
    ]


def test_a_heading_over_each_group_numbers_it(reader: Reader) -> None:
    rows = table_of("| Item 1 | | Item 2 |\nRef | Room | Material | Room | Material\nP1 | Hall | AIB | Loft | Lagging")
    assert lines(rows, reader)[2:] == [(3, ["P1", "1", "Hall", "AIB"]), (3, ["P1", "2", "Loft", "Lagging"])]


def test_items_beyond_the_last_group_are_read_from_a_cell_of_notes(reader: Reader) -> None:
    rows = table_of(
        "Ref | Room 1 | Material 1 | Result 1 | Room 2 | Material 2 | Result 2 | Notes\n"
        "P1 | Hall | AIB | Presumed | Loft | Lagging | Presumed | 3: Garage, cement roof, presumed; 2 dogs"
    )
    assert lines(rows, reader)[-1][1][-4:] == ["3", "Garage", "cement roof", "presumed"]


@pytest.mark.parametrize(
    "text",
    [
        "Ref | Room | Material | Result | Condition 2023 | Condition 2024\nP1 | Hall | AIB | Presumed | Good | Fair",
        "Ref | Address 1 | Address 2 | Room | Material | Photo 1 | Photo 2\nP1 | 1 | Elm Road | Hall | AIB | a | b",
        "Ref | Room | Material | Score | Surface | Score | Result\nP1 | Hall | AIB | 2 | Sealed | 1 | Presumed",
        "Room | Material | Result\nHall | AIB panel | Presumed\nLoft | Cement flue | Floor tiles nearby",
        # a heading that is not understood, and rooms of which only the long ones name a material
        "Ref | Room | Mtrl | Result\nP1 | Hall | a | Presumed\nP1 | Loft | b | Presumed\nP1 | Bed 1 | c | Presumed\n"
        "P1 | Kitchen - floor tile | d | Presumed",
    ],
)
def test_other_tables_stay_as_they_are(text: str, reader: Reader) -> None:
    assert across.find(table_of(text), reader, ()) == []
