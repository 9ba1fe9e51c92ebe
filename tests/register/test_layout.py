"""Where tables begin, and what stands above them."""

from datetime import date
from itertools import permutations

import pytest

from pipelines.register import labels, layout
from pipelines.register.dates import days
from pipelines.register.visit_columns import rows_in_full_years


def test_a_line_that_names_several_days_gives_the_first_and_tells_of_the_others() -> None:
    said = dict(labels.labelled(["Surveyed 15/05/08 (flats 4-6 on 22/05/08)"], lambda _: None))
    assert said["surveyed_on"] == "15/05/08 (also 22/05/08)"
    assert days([said["surveyed_on"]], date(2026, 10, 1)) == [(date(2008, 5, 15), "several")]


def test_of_the_days_of_several_visits_the_last_stands_beside_the_others() -> None:
    row = ["ELM HOUSE", "Date of visit:", "11.3.15", "no visit", "20.3.17"]
    said = dict(labels.labelled(row, lambda text: "surveyed_on" if text == "Date of visit" else None))
    assert said["surveyed_on"] == "20.3.17 (also 11.3.15)"


def test_today_goes_before_the_last_visit_whichever_stands_first() -> None:
    fields = {"Last insp": "surveyed_on", "Today": "surveyed_on", "by": "surveyor"}.get
    for row in (["Last insp", "Nov 2017", "Today", "16/2/23"], ["Today", "16/2/23", "Last insp", "Nov 2017"]):
        assert labels.pairs_said(row, fields) == {"surveyed_on": "16/2/23"}
    assert labels.pairs_said(["Last insp", "Nov 2017"], fields) == {"surveyed_on": "Nov 2017"}
    assert labels.pairs_said(["Last insp", "Today", "by"], fields) == {}


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


def test_rows_of_rooms_above_a_heading_that_comes_again_stay_with_the_table_before() -> None:
    rows = [(2, ["", "Loft", "No key"]), (3, ["Home", "Room", "What"])]
    heading = layout.Block(3, 3, (("Home",), ("Room",), ("What",)))
    found = [layout.above(rows, heading, 1, lambda _: None, lambda _: True, own).first for own in (True, False)]
    assert found == [3, 2]


def above(cells: list[list[str]], after: int = 0) -> layout.Above:
    fields = {"Premises": "address", "Date": "surveyed_on", "Surveyed": "surveyed_on", "Surveyor": "surveyor"}
    rows = list(enumerate(cells, start=after + 1))
    heading = layout.Block(after + len(cells) + 1, after + len(cells) + 1, (("Room",), ("What",), ("Result",)))
    return layout.above(rows, heading, after, fields.get)


def test_particulars_in_one_cell_are_lines_of_their_own() -> None:
    found = above(
        [["Premises: Elm House, High Street ZZ1 2AB – stairs\nDate: 8th May 2025        Surveyor: A. Person"]]
    )
    assert found.labelled == {
        "address": "Elm House, High Street ZZ1 2AB – stairs",
        "surveyed_on": "8th May 2025",
        "surveyor": "A. Person",
    }
    assert above([["Flat 2\nElm House\n30 April 2025, A. Person"]]).unlabelled == [
        "30 April 2025, A. Person",
        "Flat 2, Elm House",
    ]


@pytest.mark.parametrize("line", ["VOID: 9 Elm Close, ZZ1 2AB", "Void survey – 9 Elm Close, ZZ1 2AB"])
def test_a_kind_of_survey_may_stand_before_an_address(line: str) -> None:
    assert above([[line]]).unlabelled == ["9 Elm Close, ZZ1 2AB"]


def test_a_remark_in_brackets_is_no_part_of_a_day() -> None:
    said = dict(labels.labelled(["Surveyed", "May 2025 (day not noted)"], {"Surveyed": "surveyed_on"}.get))
    assert said == {"surveyed_on": "May 2025"}
    said = dict(labels.labelled(["Surveyed", "3 May 2025 (and 5 May)"], {"Surveyed": "surveyed_on"}.get))
    assert said == {"surveyed_on": "3 May 2025 (and 5 May)"}


def test_a_heading_that_comes_again_takes_no_row_above_it() -> None:
    known = {"Room": "room", "What": "product", "Result": "identification"}
    heading = ["Room", "What", "Result", "Place"]
    rows = [
        (1, ["", "", "", "PRIORITY"]),
        (2, heading),
        (3, ["Hall", "Tiles", "White", "1"]),
        (4, ["Whole house", "Could not get in", "", "card left"]),
        (5, heading),
    ]
    first, again = layout.blocks(rows, known.get, 3)
    assert (again.first, again.last, again.labels) == (5, 5, first.labels)


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("Looked at: Tues 8th Sept 2026 (DT)     last year: 10.9.25", "8th Sept 2026"),
        ("18.09.26  MO   (last year 19.09.25)", "18.09.26"),
        ("24/9/26  MO", "24/9/26"),
    ],
)
def test_a_line_that_says_when_it_was_looked_at_says_the_day_of_this_visit(line: str, day: str) -> None:
    assert dict(labels.labelled([line], lambda _: None))["surveyed_on"] == day


def test_a_day_before_other_words_is_no_line_of_a_visit() -> None:
    assert dict(labels.labelled(["24/9/26 sample taken"], lambda _: None)) == {}


def test_a_row_of_a_table_one_value_of_which_is_a_label_elsewhere_is_none_of_what_stands_above() -> None:
    row = ["H1", "Surveyed", "-1", "Hall", "Ceiling", "Board", "4", "m2", "Positive"]
    labels = ["Surveyed", "4 May 2024", "Premises", "9 Elm Close", "House"]
    assert above([row, labels], after=1).labelled == {"surveyed_on": "4 May 2024", "address": "9 Elm Close"}


def test_a_row_is_a_heading_in_whatever_order_its_words_stand_and_its_figures_are_asked_last() -> None:
    fields = {"Room": "room", "What": "product", "Result 2": "identification"}
    asked: list[str] = []

    def field_of(cell: str) -> str | None:
        asked.append(cell)
        return fields.get(cell)

    for order in permutations(["Room", "What", "Result 2", "", "3.5", "Note"]):
        assert layout.is_heading(order, field_of, 3)
        assert not layout.is_heading([*order, "0", "1"], field_of, 3)
    assert "3.5" not in asked
    asked.clear()
    assert not layout.is_heading(["H1", "2 Elm Road", "Kitchen", "Board", "2", "0", "1"], field_of, 3)
    assert asked == ["Kitchen", "Board"]


@pytest.mark.parametrize(
    ("over", "below", "said"),
    [
        (["Room", "Condition", "", "", "Note"], ["", "98", "09", "'16", ""], ["", "1998", "2009", "2016", ""]),
        (["Room", "Condition", "Surface", "Type", ""], ["", "01", "02", "03", ""], None),
        (["Room", "Condition", "", "", ""], ["", "16", "12", "09", ""], None),
        (["Room", "Condition", "", "", ""], ["Hall", "12", "16", "20", ""], None),
    ],
)
def test_years_in_two_figures_below_one_merged_cell_are_years(
    over: list[str], below: list[str], said: list[str] | None
) -> None:
    assert rows_in_full_years([(1, over), (2, below)]) == [(1, over), (2, said or below)]
    assert rows_in_full_years([(1, over), (3, below)]) == [(1, over), (3, below)]


@pytest.mark.parametrize(
    ("below", "last"),
    [
        (["", "", "0-3", "/12", "band"], 2),
        (["", "", "(1 to 3)", "0–3"], 2),
        (["Hall", "", "1-3", "0-3"], 2),
        (["", "Board, 2 no.", "1-3", "0-3"], 1),
        (["", "", "1", "2"], 1),
        (["", "", "", "1-3"], 1),
    ],
)
def test_what_scores_run_to_stands_in_a_row_of_the_heading(below: list[str], last: int) -> None:
    known = {"Room": "room", "What": "product", "Damage": "damage", "Surface": "surface"}
    rows = [(1, ["Room", "What", "Damage", "Surface"]), (2, below), (3, ["Hall", "Tiles", "1", "0"])]
    assert [block.last for block in layout.blocks(rows, known.get, 3)] == [last]


def test_a_word_of_a_heading_that_is_broken_off_goes_on_below_and_not_beside() -> None:
    rows = [(1, ["", "Distur-", "", "What was"]), (2, ["Room", "bance", "Recheck", "seen"])]
    labels = layout.block_at(rows, 1, 0).labels
    assert [one[0] for one in labels] == ["Room", "Disturbance", "Recheck", "What was seen"]


def test_a_total_below_a_table_is_not_above_the_next_one() -> None:
    rows = [(8, ["TOTAL HOMES", "", "40"]), (9, ["BLOCKS", "", ""]), (10, ["Room", "Item", "Result"])]
    over = layout.above(rows, layout.Block(10, 10, (("Room",), ("Item",), ("Result",))), 2, lambda _: None)
    assert (over.first, over.unlabelled) == (9, ["BLOCKS"])


@pytest.mark.parametrize(
    ("cells", "is_one"),
    [
        (["Sent", "Room", "What", "How much", "State", "Surface", "Came back", "Office", "Who", "Why"], True),
        (["Sent", "Room", "What", "How much", "Hall", "Loft", "Came back", "Office", "Who", "Why"], False),
        (["Sent 2", "Room", "What", "How much", "State", "Surface", "Came back", "Office", "Who", "Why", "N"], False),
    ],
)
def test_a_third_of_a_heading_without_figures_may_be_known_words_if_they_are_five(
    cells: list[str], is_one: bool
) -> None:
    known = {"Room": "room", "What": "product", "How much": "extent", "State": "damage", "Surface": "surface"}
    assert layout.is_heading(cells, known.get, 3) is is_one


@pytest.mark.parametrize("cell", ["Wed 9 Apr 25 12:31", "0.5 m2", "14 lm"])
def test_a_row_with_a_time_or_an_amount_joins_no_heading(cell: str) -> None:
    assert not layout.joins([(1, ["Lift room", cell]), (2, ["Room", "Extent"])], 0)
    assert layout.joins([(1, ["Lift room", "Amount"]), (2, ["Room", "Extent"])], 0)


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("Caretaker re-inspections - by G. Bell, all on 6 Nov 2023 unless it says", "6 Nov 2023 (of all)"),
        ("Second round: all done on 06/11/2023", "06/11/2023 (of all)"),
        ("All dated 6th November 2023 except where shown", "6th November 2023 (of all)"),
        ("Unless shown otherwise all items were inspected on 6 Nov 2023", "6 Nov 2023 (of all)"),
        ("Surveyed 6 Nov 2023 unless a row says otherwise", "6 Nov 2023 (of all)"),
        ("Surveyed 6 Nov 2023 by A. Person", "6 Nov 2023"),
        ("Letters sent to all flats on 6 Nov 2023", None),
    ],
)
def test_a_day_that_is_told_of_all_visits_is_read_wherever_it_stands(line: str, day: str | None) -> None:
    assert dict(labels.labelled([line], lambda _: None)).get("surveyed_on") == day


def test_a_day_that_is_told_of_all_visits_reads_as_any_other() -> None:
    read = days(["6 Nov 2023 (of all)", "03/04/2023 (of all)", "4/13/2023"], date(2026, 1, 1))
    assert read[:2] == [(date(2023, 11, 6), "known"), (date(2023, 3, 4), "month first")]


def test_a_home_labelled_above_another_one_is_not_that_of_the_table() -> None:
    rows = [
        (1, ["Room", "Material"]),
        (2, ["Hall", "Tiles"]),
        (3, ["Property: Flat 6, Elm Court     Ref: EC06"]),
        (4, ["Nobody in."]),
        (5, ["Property: Elm Court, stairs"]),
        (6, ["Room", "Material"]),
    ]
    fields = {"property": "address", "ref": "property_ref"}
    found = layout.above(rows, layout.Block(6, 6, (("Room",), ("Material",))), 2, lambda text: fields.get(text.lower()))
    assert found.labelled == {"address": "Elm Court, stairs"}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("LAST YEAR'S REGISTER - visit of 10 June 2025", {"surveyed_on": "10 June 2025 (last visit)"}),
        ("Previous survey, dated 10/06/2025", {"surveyed_on": "10/06/2025 (last visit)"}),
        ("Last year's register, 14 pages", {}),
        ("Kept since last year; visit 10 June 2025", {}),
    ],
)
def test_the_day_of_the_last_visit_above_a_table_is_told_as_such(line: str, said: dict[str, str]) -> None:
    block = layout.Block(3, 3, (("Room",), ("Item",), ("Seen",)))
    assert layout.above([(1, [line, "", "THIS YEAR"])], block, 0, lambda _: None).labelled == said


def test_the_day_of_the_last_visit_gives_way_to_that_of_this_one_and_reads_as_any_other() -> None:
    block = layout.Block(3, 3, (("Room",), ("Item",), ("Seen",)))
    lines = [(1, ["Last year's visit of 10 June 2025"]), (2, ["Surveyed 11 May 2026"])]
    assert layout.above(lines, block, 0, lambda _: None).labelled == {"surveyed_on": "11 May 2026"}
    assert days(["10 June 2025 (last visit)"], date(2026, 10, 1)) == [(date(2025, 6, 10), "last visit")]
