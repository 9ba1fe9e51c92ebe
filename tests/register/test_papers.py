"""Papers of several firms on one sheet, with lines of letters between. Firms and homes are invented."""

import pytest

from pipelines.register.contents import Contents
from pipelines.register.home_lines import NAMES, Sheet, begun
from pipelines.register.lines import Thin, _line
from pipelines.register.papers import begins_paper, block_told, day_told, streets_within, until_paper
from pipelines.register.reader import Reader

STREETS = frozenset({"elm court", "elm court mews", "high street"})
COLUMNS, OTHERS = ("address", "room", "product"), ("address", "room", "extent")


@pytest.fixture
def sheet() -> Sheet:
    return Sheet("registers/a.xlsx", None, Reader("registers", {}, {}, Contents({}, {"street": STREETS}), 0.8, 0.5, 3))


def above(*lines: str) -> list[dict[str, str | None]]:
    return [{"field": None, "value": line} for line in lines]


@pytest.mark.parametrize(
    ("line", "day"),
    [
        (
            "Hi Jo, what we found, he went round with the caretaker on 7 October 2015 and sent bits off.",
            "7 October 2015",
        ),
        ("4. Plover Analytical. Job PA-22-0417. Attended 22.02.22, reported 08.03.22", "22.02.22"),
        ("Not visited 22.02.22", None),
        ("Reported 08.03.22", None),
        ("Visited on 1 May 2024. Inspected on 2 May 2024.", None),
        ("Flat 3 was visited on 1 May 2024", None),
        ("12 Elm Road: visited on 1 May 2024", None),
    ],
)
def test_a_letter_tells_the_day_on_which_somebody_came(line: str, day: str | None) -> None:
    assert day_told([line]).get("surveyed_on") == day


def test_streets_are_sought_among_other_words_the_longest_first() -> None:
    assert streets_within("as promised, what he found at Elm Court, see below", STREETS) == {"elm court"}
    assert streets_within("Elm Court Mews and High Street", STREETS) == {"elm court mews", "high street"}
    assert streets_within("the court by the elm", STREETS) == set()


@pytest.mark.parametrize(
    ("line", "is_paper"),
    [
        ("Dear Ms Hale, please find below the schedule", True),
        ("To the Secretary. I enclose my findings", True),
        ("2. Plover & Daughter, Plumbing and Heating", True),
        ("3. P. Plover - Elm Court, Quay Lane", True),
        ("2. Areas not accessed", False),
        ("To the rear of the house", False),
        ("Plover Surveyors Ltd", False),
        ("Plover Surveyors Ltd, for Elm Court", True),
        ("Elm Court, visited with the caretaker on 2 May 2024", True),
        ("Visited with the caretaker on 2 May 2024", False),
        ("12 High Street: visited again on 2 May 2024", False),
    ],
)
def test_a_letter_or_a_numbered_firm_begins_another_paper(line: str, is_paper: bool) -> None:
    assert begins_paper([line], STREETS) is is_paper


def test_a_letter_names_the_block_and_the_day_of_the_homes_below(sheet: Sheet) -> None:
    home = begun(sheet, COLUMNS, above("Hi Jo, what we found at Elm Court, we went round on 7 May 2015"), True)
    assert home[NAMES.index("surveyed_on")] == "7 May 2015"
    assert sheet.said["address"] == "elm court"


def test_several_days_or_blocks_in_the_lines_of_a_letter_tell_none_but_one_before_it_is_not_of_it() -> None:
    letter = ["Keys from High Street.", "We went round on 7 May 2015.", "Hi Jo, what we found at Elm Court"]
    assert block_told(letter, STREETS) == {}
    assert block_told(letter[1:], STREETS) == {"address": "elm court"}
    assert block_told([*letter[1:], "End of High Street"], STREETS) == {"address": "elm court"}
    assert day_told([*letter, "Visited on 1 May 2015"]) == {"surveyed_on": "7 May 2015"}
    assert day_told(["Visited on 8 May 2015", *letter]) == {}


def test_two_blocks_in_a_letter_name_none(sheet: Sheet) -> None:
    begun(sheet, COLUMNS, above("Hi Jo, what we found at Elm Court and High Street"), True)
    assert "address" not in sheet.said


def test_what_is_said_of_the_homes_goes_before_what_a_remark_mentions(sheet: Sheet) -> None:
    begun(sheet, COLUMNS, above("Elm Court", "Surveyed on 1 May 2024"), True)
    begun(sheet, OTHERS, above("As at High Street"), True)
    assert sheet.said["address"] == "Elm Court"
    assert sheet.said["surveyed_on"] == "1 May 2024"


def test_another_paper_is_not_of_the_block_and_day_of_the_one_above(sheet: Sheet) -> None:
    begun(sheet, COLUMNS, above("Hi Jo, what we found at Elm Court, we went round on 7 May 2015"), True)
    home = begun(sheet, OTHERS, above("Dear Ms Hale, the schedule is below"), True)
    assert sheet.said == {}
    assert home[NAMES.index("surveyed_on")] == ""


@pytest.mark.parametrize("line", ["3. Plover & Daughter, Plumbing", "1. P. Plover, 4 rooms"])
def test_a_number_of_a_paper_is_no_house_number(line: str, sheet: Sheet) -> None:
    assert sheet.names(line.split(", 4")[0]) is None


def test_a_numbered_note_below_the_items_is_a_remark(sheet: Sheet) -> None:
    assert _line(sheet, Thin(["3. Quantities are approximate"], COLUMNS, None, ()))[0] == "remark"


def test_rows_below_a_letter_are_not_of_the_table_above(sheet: Sheet) -> None:
    rows = [(1, ["Dear Ms Hale, below"]), (2, ["Room"]), (3, ["Hall"]), (5, ["2. Plover Ltd", ""]), (6, ["Flat 1"])]
    assert [number for number, _ in until_paper(rows, 2)] == [1, 2, 3]
    assert [number for number, _ in until_paper(rows, 5)] == [1, 2, 3, 5, 6]
    sheet.home = {"address": "4 High Street"}
    assert _line(sheet, Thin(["2. Plover Ltd"], COLUMNS, None, ()))[0] == "one cell"
    assert not sheet.home
