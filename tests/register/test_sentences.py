"""Home, room and material in one phrase, beside results in columns of their own. The texts are invented."""

import pytest

from pipelines.register import sentences
from pipelines.register.layout import block_at
from pipelines.register.reader import Reader
from pipelines.register.shorthand import Shorthand

HEADING = ["What was looked at", "Result", "Qty"]
ROWS = [
    ["Elm Hse, 1st floor landing - AIB duct panels", "amosite", "4 no"],
    ["Elm Hse, bin store - cement roof", "chrysotile", "14 sqm"],
    ["7 Hill Walk, garage - cement roof (20 Nov 2023)", "chrysotile", "18 sqm"],
    ["Hill Pt, stairs - floor tiles, worn", "presumed", "30 sqm"],
]


def read(rows: list[list[str]], heading: list[str], reader: Reader) -> sentences.Sentences:
    table = sentences.find(block_at([(1, heading)], 0, 0).labels, 0, rows, reader, Shorthand(reader.contents.terms))
    assert table is not None
    return table


def test_a_phrase_may_name_the_home_before_the_room_and_its_own_day_behind(reader: Reader) -> None:
    table = read(ROWS, HEADING, reader)
    names = [text for text, _ in table.headings]
    said = [dict(zip(names, line, strict=True)) for row in ROWS for line in table.lines(row)]
    assert [(one["Address"], one["Room"], one["Material"]) for one in said] == [
        ("Elm Hse", "1st floor landing", "AIB duct panels"),
        ("Elm Hse", "bin store", "cement roof"),
        ("7 Hill Walk", "garage", "cement roof"),
        ("Hill Pt", "stairs", "floor tiles, worn"),
    ]
    assert [one["Date of inspection"] for one in said] == ["", "", "20 Nov 2023", ""]


def test_a_column_of_homes_or_days_stands_and_no_column_is_made_of_what_no_phrase_says(reader: Reader) -> None:
    plain = [[row[0].removesuffix(", worn"), *row[1:]] for row in ROWS]
    headings = [text for text, _ in read(plain, HEADING, reader).headings]
    assert headings == ["Result", "Qty", "Address", "Date of inspection", "Room", "Material", "Extent"]
    beside = [[*row, "1/5/2023"] for row in plain]
    dated = read(beside, [*HEADING, "Date"], reader)
    assert "Date of inspection" not in [text for text, _ in dated.headings]
    assert next(dated.lines(beside[2]))[3:6] == ["7 Hill Walk", "garage", "cement roof (20 Nov 2023)"]
    beside = [[*row, "Elm House"] for row in plain]
    assert "Room" in (names := [text for text, _ in read(beside, [*HEADING, "Block"], reader).headings])
    assert names.count("Address") == 0


def test_dashes_may_stand_between_all_that_a_phrase_names(reader: Reader) -> None:
    rows = [[row[0].replace(",", " -", 1), *row[1:]] for row in ROWS]
    table = read(rows, HEADING, reader)
    assert [line[2:6] for row in rows for line in table.lines(row)][:3] == [
        ["Elm Hse", "", "1st floor landing", "AIB duct panels"],
        ["Elm Hse", "", "bin store", "cement roof"],
        ["7 Hill Walk", "20 Nov 2023", "garage", "cement roof"],
    ]


@pytest.mark.parametrize(
    "text",
    [
        "Hall, cupboard - AIB",
        "Rear wing, kitchen - AIB",
        "Artex, kitchen - AIB",
        "Elm House, whatever - AIB",
        "Elm House",
    ],
)
def test_what_is_no_home_before_a_room_stays_with_it(text: str, reader: Reader) -> None:
    assert sentences.home_of(text, Shorthand(reader.contents.terms)) == ("", text)
