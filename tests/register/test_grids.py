"""Grids: rooms across or down, homes down, shorthand and codes in the cells, findings by number. Invented."""

from typing import Any

import pytest

from pipelines.register import across
from pipelines.register.keys import key_within
from pipelines.register.reader import Reader
from pipelines.register.shorthand import Shorthand

Rows = list[tuple[int, list[str]]]


def table_of(text: str) -> Rows:
    lines = [line.strip() for line in text.strip().splitlines()]
    return [(number, [cell.strip() for cell in line.split("|")]) for number, line in enumerate(lines, start=1) if line]


def lines(rows: Rows, reader: Reader) -> list[tuple[int, list[str]]]:
    """The source row and the filled cells of each line."""
    tables = across.find(rows, reader, ())
    return [(source, [cell for cell in cells if cell]) for _, source, _, cells, _ in across.lines_of(rows, tables)]


GRID = """
    Survey of No 5
    P = presumed; S = sampled, asbestos found; N = sampled, none found
    Room    | Textured coating | AIB panel | Floor tiles
    Kitchen | S/12m2/S003      | -         | P 2m2 poor
    Hall    | as S003          |           | N
    Loft    |                  |           |
    Totals  | 2                | 0         | 2
"""


def test_each_cell_of_a_grid_that_says_something_is_a_line(reader: Reader) -> None:
    read = lines(table_of(GRID), reader)
    assert read[3:] == [
        (4, ["Kitchen", "Textured coating", "sampled, asbestos found", "12m2", "S003"]),
        (4, ["Kitchen", "Floor tiles", "presumed", "poor", "2m2"]),
        (5, ["Hall", "Textured coating", "as S003"]),
        (5, ["Hall", "Floor tiles", "sampled, none found"]),
        (6, ["Loft"]),
        (7, ["Totals", "2", "0", "2"]),
    ]


def test_lines_are_numbered_as_rows_up_to_the_first_table_and_keep_blank_rows(reader: Reader) -> None:
    rows = [row for row in table_of(GRID) if row[0] != 6]
    tables = across.find(rows, reader, ())
    numbers = [line for line, *_ in across.lines_of(rows, tables)]
    assert numbers == [1, 2, 3, 4, 5, 6, 7, 9]


def test_rooms_may_stand_across(reader: Reader) -> None:
    rows = table_of("Material | Kitchen | Hall | Loft\nAIB panel | P | | ND\nCement flue | n/a | | S01 NAD")
    assert [cells for _, cells in lines(rows, reader)[1:]] == [
        ["AIB panel", "Kitchen", "P"],
        ["AIB panel", "Loft", "ND"],
        ["Cement flue", "Loft", "NAD", "S01"],
    ]


def test_the_corner_of_a_grid_may_be_blank(reader: Reader) -> None:
    rows = table_of("| AIB panel | Cement | Floor tiles\nKitchen | P | |\nHall | | P | ND")
    assert lines(rows, reader)[0][1][0] == "Room"
    assert len(lines(rows, reader)) == 4


def test_parts_of_a_room_may_stand_across_with_materials_in_the_cells(reader: Reader) -> None:
    rows = table_of("Room | Ceiling | Soffit | Pipework\nKitchen | AIB P 2m2 | |\nHall | TC S01 | | Lagging P")
    cells = [cells for _, cells in lines(rows, reader)[1:]]
    assert cells[0] == ["Kitchen", "Ceiling", "P", "AIB", "2m2"]
    assert cells[2] == ["Hall", "Pipework", "P", "Lagging"]


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("P/2.5m2/S003", {"extent": "2.5m2", "sample_ref": "S003", "identification": "P"}),
        ("Pos 3m² AMO BS12", {"extent": "3m²", "sample_ref": "BS12", "identification": "Pos", "asbestos_types": "AMO"}),
        ("P 3lm poor", {"extent": "3lm", "identification": "P", "damage": "poor"}),
        ("S/P", {"identification": "S/P"}),
        ("as S001 / 9 m2", {"extent": "9 m2", "sample_ref": "as S001", "identification": "as S001"}),
        ("✓", {}),
        ("P2", {"notes": "P2"}),
    ],
)
def test_shorthand_is_told_apart_by_what_its_pieces_are(cell: str, said: dict[str, Any], terms: Any) -> None:
    assert Shorthand(terms).read(cell) == said


def test_a_code_that_the_sheet_explains_is_no_mark_for_nothing(terms: Any) -> None:
    keys = key_within([["N = not detected, X = no access, P = presumed"]])
    assert not Shorthand(terms, keys, is_ticked=True).is_nothing("N")
    assert Shorthand(terms, keys).read("X") == {"identification": "no access"}
    assert Shorthand(terms, is_ticked=True).is_nothing("x")


KEY = "C = chrysotile   A = amosite   N = sampled, none detected   P = presumed   X = item since removed"


@pytest.mark.parametrize(
    ("cell", "items"),
    [
        (
            "Lounge - C; hall - N",
            [
                {"room": "Lounge", "asbestos_types": "chrysotile", "identification": "identified"},
                {"room": "hall", "identification": "sampled, none detected"},
            ],
        ),
        (
            "Lounge, bed 1, 2 - P",
            [{"room": "Lounge, bed 1, 2", "identification": "presumed"}],
        ),
        (
            "Garage - Cement sheet roof, A + C, 20 m2",
            [
                {
                    "room": "Garage",
                    "product": "Cement sheet roof",
                    "asbestos_types": "amosite + chrysotile",
                    "extent": "20 m2",
                    "identification": "identified",
                }
            ],
        ),
        (
            "Kitchen tiles - X (was C)",
            [
                {
                    "room": "Kitchen tiles",
                    "product": "Kitchen tiles",
                    "remark": "item since removed",
                    "asbestos_types": "chrysotile",
                    "identification": "identified",
                }
            ],
        ),
    ],
)
def test_cells_name_rooms_beside_the_codes_of_a_key_in_one_line(
    cell: str, items: list[dict[str, str]], terms: Any
) -> None:
    assert Shorthand(terms, key_within([[KEY]])).items(cell) == items


def test_a_grid_of_homes_has_its_rooms_in_the_cells_and_in_a_column_of_those_not_seen(reader: Reader) -> None:
    rows = table_of(
        f"{KEY}\nRef | Textured coatings | Floor tiles / adhesive | Boards (AIB) | Areas not seen | Remarks\n"
        "P1 | Lounge - C | Hall tiles - C | - | Loft | rushed\nP2 | - | - | Kitchen - X | - |"
    )
    told = [cells for *_, cells, _ in across.lines_of(rows, across.find(rows, reader, ()))]
    heading = ["Ref", "Remarks", "Material", "Room", "Result", "Asbestos type"]
    assert [cells[:6] for cells in told[1:]] == [
        heading,
        ["P1", "rushed", "Textured coatings", "Lounge", "identified", "chrysotile"],
        ["P1", "rushed", "Hall tiles", "Hall tiles", "identified", "chrysotile"],
        ["P1", "rushed", "", "Loft", "Areas not seen", ""],
        ["P2", "item since removed", "Boards (AIB)", "Kitchen", "", ""],
    ]


def test_columns_of_one_material_in_several_rooms_are_all_read(reader: Reader) -> None:
    rows = table_of(
        "Ref | Lounge | | Hall |\n | Ceiling coating | Floor tiles | Ceiling coating | AIB panel\n"
        "P1 | P 3m2 | | ND | P\nP2 | | P 2m2 | P |"
    )
    assert [cells for _, cells in lines(rows, reader)[2:]] == [
        ["P1", "Lounge Ceiling coating", "Lounge Ceiling coating", "P", "3m2"],
        ["P1", "Hall Ceiling coating", "Hall Ceiling coating", "ND"],
        ["P1", "Hall AIB panel", "Hall AIB panel", "P"],
        ["P2", "Lounge Floor tiles", "Lounge Floor tiles", "P", "2m2"],
        ["P2", "Hall Ceiling coating", "Hall Ceiling coating", "P"],
    ]


def test_two_columns_of_one_heading_are_two(reader: Reader) -> None:
    rows = table_of("Room | AIB panel | Floor tiles | AIB panel\nHall | P | ND | P 2m2")
    assert [cells for _, cells in lines(rows, reader)[1:]] == [
        ["Hall", "AIB panel", "P"],
        ["Hall", "Floor tiles", "ND"],
        ["Hall", "AIB panel", "P", "2m2"],
    ]


def test_homes_stand_down_and_rooms_across_with_materials_in_the_cells(reader: Reader) -> None:
    two = "tiles, chrysotile (sample 1), 5 sqm; black adhesive, no asbestos (sample 2)"
    rows = table_of(
        f"""Void no | Property   | Hall    | Lounge                             | Kitchen   | Loft
            V1      | 1 Elm Road | {two}   | textured ceiling, same as sample 3 | -         | cement tank, presumed
            V2      | 2 Elm Road | -       | textured ceiling, chrysotile       | no access | -"""
    )
    found = lines(rows, reader)
    assert [source for source, _ in found] == [1, 2, 2, 2, 2, 3, 3]
    assert [cells[1:3] for _, cells in found[1:]] == [
        ["1 Elm Road", "Hall"],
        ["1 Elm Road", "Hall"],
        ["1 Elm Road", "Lounge"],
        ["1 Elm Road", "Loft"],
        ["2 Elm Road", "Lounge"],
        ["2 Elm Road", "Kitchen"],
    ]
    assert "1" in found[1][1] and "same as 3" in found[3][1]


def test_a_row_of_items_is_no_heading_of_a_grid(reader: Reader) -> None:
    tiles = "thermoplastic floor tiles, chrysotile (sample 3), 15 sq m, slight damage at the door"
    board = "insulating board soffit, amosite (sample 4), 2 sq m, unpainted, slight damage at the edge"
    coating = "textured coating to ceiling, chrysotile (sample 5), 12 sq m, undamaged, emulsioned"
    rows = table_of(
        f"""Hall    | {tiles}               | {board}           | {coating}
            Kitchen | presumed 2 m2         | amosite 3 m2      | chrysotile 4 m2
            Lounge  | chrysotile 4 m2       | presumed 1 m2     | presumed 2 m2"""
    )
    assert not across.find(rows, reader, ())


def test_findings_by_number_in_one_cell_are_items_of_their_own(reader: Reader) -> None:
    rows = table_of(
        """Property   | Room | Material                                                                    | Action
           1 Elm Road | Hall | 1) Textured coating, good. Sample H1: chrysotile. 2) Floor tiles, presumed. | Leave
           2 Elm Road | Loft | 1) Cement tank, 1 no., presumed asbestos, good condition.                   | Leave
           3 Elm Road | Hall | Nothing suspected.                                                          | Leave"""
    )
    found = lines(rows, reader)
    assert [source for source, _ in found] == [1, 2, 2, 3, 4]
    assert found[1][1][3].startswith("Textured coating") and found[2][1][3].startswith("Floor tiles")
    assert "H1" in found[1][1] and "H1" not in found[2][1]


UNDER_TITLES = """
    |        | CEILINGS |          |          |    | FLOORS    |          |        |       | SOFFIT
    Address | Visited | Rooms | Material | Result | m2 | Rooms | Material | Result | m2 | Material | Result | lin m | NB
    1 Elm Rd | 1/3/24 | Hall | t/c | S1 chrys | 8 | Kit | tiles | SP | 9 abt | AC, bare | pres | 14 | told tnt
    2 Elm Rd | 1/3/24 | - | | | | no access | | | | uPVC | NSM | |
    (2 Elm Rd cont.) | | | | | | Bath | tiles | as S1 | 3 | | | |
    3 Elm Rd | 1/3/24 | No access - carded twice | | | | | | | | | | |
"""


def test_groups_of_columns_under_titles_become_a_line_each_whatever_their_headings(reader: Reader) -> None:
    rows = table_of(UNDER_TITLES)
    found = lines(rows, reader)
    first = next(nth for nth, (_, cells) in enumerate(found) if cells[:1] == ["Address"])
    assert [cells for _, cells in found[first + 1 :]] == [
        ["1 Elm Rd", "1/3/24", "told tnt", "Hall", "t/c", "S1 chrys", "8 m2"],
        ["1 Elm Rd", "1/3/24", "told tnt", "Kit", "tiles", "SP", "9 m2 abt"],
        ["1 Elm Rd", "1/3/24", "told tnt", "SOFFIT", "AC, bare", "pres", "14 lin m", "AC, bare"],
        ["2 Elm Rd", "1/3/24", "no access"],
        ["2 Elm Rd", "1/3/24", "SOFFIT", "uPVC", "NSM"],
        ["2 Elm Rd", "Bath", "tiles", "as S1", "3 m2"],
        ["3 Elm Rd", "1/3/24", "Whole property", "No access - carded twice"],
    ]


def test_titles_over_what_stands_once_are_no_groups(reader: Reader) -> None:
    rows = table_of(
        "LOCATION | | FLOORS | | ASSESSMENT | \nAddress | Room | Material | Result | Condition | Remarks\n"
        "1 Elm Rd | Hall | tiles | SP | good | -"
    )
    assert not across.find(rows, reader, ())


HOMES_BY_NUMBER = """
    Elm Court - check sheets
    wh = white asbestos   nil = tested, no asbestos   ? = not tested, presumed   none = no such thing   n/s = not seen
        |         | KITCHEN     |                    | LANDING       |
    No. | Date    | Floor tiles | Sink pad (bitumen) | Artex ceiling | Remarks
    1   | 21/6/99 | wh - good   | none               | ? - good      |
    2   | 21/6/99 | nil         | n/s                | wh - worn     | sink full
    5   | 22/6/99 | n/s         | n/s                | n/s           | out
"""


def test_rooms_over_materials_across_have_a_row_for_each_home_by_its_number(reader: Reader) -> None:
    read = lines(table_of(HOMES_BY_NUMBER), reader)
    assert read[3][1][:5] == ["House no", "Date", "Remarks", "Material", "Room"]
    assert read[4:] == [
        (5, ["1", "21/6/99", "KITCHEN Floor tiles", "KITCHEN Floor tiles", "white asbestos", "good"]),
        (5, ["1", "21/6/99", "LANDING Artex ceiling", "LANDING Artex ceiling", "not tested, presumed", "good"]),
        (6, ["2", "21/6/99", "sink full", "KITCHEN Floor tiles", "KITCHEN Floor tiles", "tested, no asbestos"]),
        (6, ["2", "21/6/99", "sink full", *["KITCHEN Sink pad (bitumen)"] * 2, "not seen"]),
        (6, ["2", "21/6/99", "sink full", *["LANDING Artex ceiling"] * 2, "white asbestos", "worn"]),
        # where nobody could see anything, the whole home was not seen
        (7, ["5", "22/6/99", "out", "Whole property", "not seen"]),
    ]


def test_numbers_that_come_again_or_are_none_number_no_homes_of_a_grid(reader: Reader) -> None:
    again = HOMES_BY_NUMBER.replace("    5   |", "    2   |")
    assert across.find(table_of(again), reader, ()) == []
    assert across.find(table_of(HOMES_BY_NUMBER.replace("No. |", "Team |")), reader, ()) == []
