"""Word-processed tables whose cells say several things each, taken apart."""

from typing import Any

import pytest

from pipelines.register import across, stacked
from pipelines.register.reader import Reader
from pipelines.register.shorthand import Shorthand

HEADING = ["Location and description", "Extent and condition", "Sample and result"]


def lines(rows: list[list[str]], known: Reader, heading: list[str] = HEADING) -> list[dict[str, str]]:
    """What each line says that is none of the heading, by the headings of its columns."""
    numbered = list(enumerate([heading, *rows], start=1))
    tables = across.find(numbered, known, ())
    names = [text for text, _ in tables[0].headings]
    said = [(source, cells) for _, source, _, cells, is_heading in across.lines_of(numbered, tables) if not is_heading]
    return [dict(zip(names, cells, strict=False)) for _, cells in said]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            ["Kitchen\nBoxing, insulating board", "2.4 x 0.3m\nSlight damage. Painted.", "S4\nAmosite"],
            ("Kitchen", "Boxing, insulating board", "2.4 x 0.3m", "Slight damage", "Painted", "S4", "Amosite"),
        ),
        (
            ["Lounge. Millboard behind fire", "0.3 m2. Damage 1", "V3 – chrysotile + amosite"],
            ("Lounge", "Millboard behind fire", "0.3 m2", "1", "", "V3", "chrysotile + amosite"),
        ),
        (
            [
                "Garage (integral)\nCeiling, insulating board",
                "Extent 14 m2.\nDamage: low.\nSurface: unsealed.",
                "As S13",
            ],
            ("Garage", "Ceiling, insulating board", "14 m2", "low", "unsealed", "as S13", "As S13"),
        ),
        (
            ["Kitchen, floor: thermoplastic tiles", "9m2, good", "Not sampled. As S1 at No. 14 – chrysotile"],
            ("Kitchen", "floor: thermoplastic tiles", "9m2", "good", "", "as S1", "As S1 at No. 14 – chrysotile"),
        ),
        (
            ["Hall, electric meter cupboard. Backing board", "0.4m2", "Sample 18/1 amosite"],
            ("electric meter cupboard", "Backing board", "0.4m2", "", "", "18/1", "amosite"),
        ),
        (
            ["Separate WC\nPlaster and ceramic tile. No suspect materials seen.", "–", "Not sampled"],
            ("Separate WC", "", "", "", "", "", "No suspect materials seen"),
        ),
        (
            ["Textured coating to ceiling\nLounge", "4 m2", "S5 chrysotile"],
            ("Lounge", "Textured coating to ceiling", "4 m2", "", "", "S5", "chrysotile"),
        ),
    ],
)
def test_each_cell_is_taken_apart(row: list[str], said: tuple[str, ...], reader: Any) -> None:
    assert [tuple(line.values()) for line in lines([row], reader)] == [said]


def test_samples_of_layers_are_lines_of_their_own(reader: Any) -> None:
    row = [
        "Kitchen\nFloor tiles, with black bitumen adhesive",
        "9 m2",
        "S1 (tile): Chrysotile\nS2 (adhesive): none detected",
    ]
    assert [(line["Material"], line["Sample"], line["Result"]) for line in lines([row], reader)] == [
        ("Floor tiles", "S1", "Chrysotile"),
        ("black bitumen adhesive", "S2", "none detected"),
    ]


def test_samples_that_name_no_layer_stay_together(reader: Any) -> None:
    row = ["Kitchen\nFloor tiles and adhesive", "9 m2", "S1 Chrysotile\nS2 none detected"]
    assert [(line["Material"], line["Sample"], line["Result"]) for line in lines([row], reader)] == [
        ("Floor tiles and adhesive", "S1, S2", "S1 Chrysotile; S2 none detected")
    ]


@pytest.mark.parametrize(
    ("what", "result"),
    [
        ("Ceiling tiles, insulating board. Nothing else suspect.", "Presumed"),
        ("Textured coating. No suspect materials otherwise.", "Strongly presumed chrysotile"),
        ("No suspect materials except the sink pad.", "Not sampled"),
        ("Insulating board, presumed. No suspect materials.", "Not sampled"),
    ],
)
def test_nothing_suspect_clears_nothing_that_is_presumed(what: str, result: str, reader: Any) -> None:
    line = lines([[f"Kitchen\n{what}", "2 m2", result]], reader)[0]
    assert (line["Material"], line["Result"]) == (what, result)


def test_rooms_have_the_extents_that_stand_in_their_order(reader: Any) -> None:
    rows = [
        ["Bedroom 1 and bedroom 2\nTextured coating", "11m2 and 9m2\nGood", "S1 chrysotile"],
        ["Hall\nTextured coating", "3 m2 and 2 m2", "As S1"],
    ]
    assert [(line["Room"], line["Extent"]) for line in lines(rows, reader)] == [
        ("Bedroom 1", "11m2"),
        ("bedroom 2", "9m2"),
        ("Hall", "3 and 2 m2"),
    ]


def test_a_sentence_over_the_whole_row_is_an_item_if_it_says_what_was_found(reader: Any) -> None:
    rows = [
        ["The ceiling of the lounge has a textured coating, some 16 m2; it was sampled (S10), chrysotile.", "", ""],
        ["Hall and kitchen: plaster walls, solid floor. Nothing suspect.", "", ""],
        ["The tenant was told about the cupboard on the day.", "", ""],
    ]
    found = lines(rows, reader)
    assert [found[0][name] for name in ("Extent", "Sample")] == ["some 16 m2", "S10"]
    assert (found[1]["Room"], found[1]["Result"]) == ("Hall and kitchen", "Nothing suspect.")
    assert list(found[2].values()) == rows[2]


def test_room_may_stand_in_a_column_of_its_own(reader: Any) -> None:
    heading = ["Location", "Description, extent and condition", "Sample / result"]
    row = ["Landing", "Textured coating to ceiling, 6 m². Minor cracks", "S17\nchrysotile"]
    line = lines([row], reader, heading)[0]
    assert [line[name] for name in ("Room", "Material", "Extent")] == [
        "Landing",
        "Textured coating to ceiling",
        "6 m²",
    ]


def test_particulars_between_tables_are_not_taken_apart(reader: Any) -> None:
    rows = [["Kitchen\nFloor tiles", "9 m2", "S1 chrysotile"], ["VOID", "6 Elm Lane, Anytown ZZ5 1NR", "Your ref: 3"]]
    assert list(lines(rows, reader)[1].values()) == rows[1]


@pytest.mark.parametrize(
    "heading",
    [
        ["Room", "Material", "Extent and condition", "Result"],
        ["Location and description", "Extent", "Condition", "Result"],
        ["Location and description", "Extent and condition", "Remarks"],
    ],
)
def test_other_headings_are_not_of_such_a_table(heading: list[str], reader: Any) -> None:
    labels = [(text,) for text in heading]
    assert stacked.find(labels, 0, [["Hall"]], reader, Shorthand({})) is None
