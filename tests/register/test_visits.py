"""Columns of this visit beside those of the last, and what a cell says that tells in words what a visit found. The
texts are invented."""

from collections.abc import Sequence

import pytest

from pipelines.register import findings, layout
from pipelines.register.columns import read_columns, without_repeats
from pipelines.register.contents import Contents
from pipelines.register.meanings import Column
from pipelines.register.reader import Reader
from pipelines.register.shorthand import Shorthand
from pipelines.register.visit_columns import without_visits

KNOWN = {
    "room": ["room"],
    "item": ["product"],
    "qty": ["extent"],
    "result": ["identification"],
    "second result": ["identification"],
    "cond": ["damage"],
    "acc": ["accessibility"],
    "ref": ["property_ref"],
    "no": ["none"],
    "unit": ["extent_unit"],
    "address": ["address"],
    "date": ["surveyed_on"],
    "p+d+s+t": ["material_score"],
}
TERMS = {
    "identification": {"presumed": "presumed", "nad": "not_detected", "no access": "no_access"},
    "asbestos_type": {"amosite": "amosite"},
    "damage": {"good": "good", "edge broken": "medium", "bad": "high"},
    "surface": {"sealed": "sealed", "unsealed": "unsealed"},
    "product": {"aib": "insulating_board"},
    "place": {"kitchen": "kitchen", "hall": "hall_landing", "bed #": "bedroom"},
}


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader("registers", KNOWN, {}, Contents(TERMS, {"property_ref": frozenset({"h1"})}), 0.8, 0.5, 3)


def fields(heading: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], reader: Reader) -> list[str | None]:
    numbered = list(enumerate(heading, start=1))
    block = layout.block_at(numbered, len(numbered) - 1, 0)
    return [column.field for column in without_repeats(read_columns(block, rows, reader))]


@pytest.mark.parametrize(
    ("heading", "read"),
    [
        (
            [["", "LAST TIME", "", "TODAY", "", ""], ["Room", "Result", "Cond", "Result", "Cond", "Acc"]],
            ["room", "identification_before", "damage_before", "identification", "damage", "accessibility"],
        ),
        (
            [["", "TODAY", "", "LAST TIME", "", ""], ["Room", "Result", "Cond", "Result", "Cond", "Acc"]],
            ["room", "identification", "damage", "identification_before", "damage_before", "accessibility"],
        ),
        (
            [["Room", "Last result", "Last cond", "Now result", "Now cond", "Acc"]],
            ["room", "identification_before", "damage_before", "identification", "damage", "accessibility"],
        ),
        (
            [["Room", "Item", "Cond 19", "Cond 23", "Qty"]],
            ["room", "product", "damage_before", "damage", "extent"],
        ),
        (
            [["Room", "Item", "Then\nP+D+S+T", "Now\nP+D+S+T"]],
            ["room", "product", "material_before", "material_score"],
        ),
        (
            [["", "", "LAST YEAR", "", "THIS YEAR", ""], ["Room", "Item", "Qty", "Cond", "Qty", "Cond"]],
            ["room", "product", "extent_before", "damage_before", "extent", "damage"],
        ),
        (
            [["Room", "Item", "Cond", ""], ["", "", "Last yr", "This yr"]],
            ["room", "product", "damage_before", "damage"],
        ),
        ([["Room", "Item", "Cond. now", "Cond. last yr"]], ["room", "product", "damage", "damage_before"]),
        (
            [["Room", "Item", "Cond", "Acc", "Cond now"]],
            ["room", "product", "damage_before", "accessibility", "damage"],
        ),
        ([["Room", "Item", "Cond", ""], ["", "", "Now", "2025"]], ["room", "product", "damage", "damage_before"]),
        ([["Room", "Item", "Cond June 25", "Cond now"]], ["room", "product", "damage_before", "damage"]),
        # initials of the material assessment, last year's and this year's
        (
            [
                ["Room", "Item", "LAST YEAR", "", "", "", "THIS YEAR", "", "", ""],
                ["", "", "P", "C", "S", "A", "P", "C", "S", "A"],
            ],
            [
                *("room", "product", None, "damage_before", "surface_before", None),
                *("product_type_score", "damage_score", "surface_treatment_score", "asbestos_type_score"),
            ],
        ),
        # what the survey found, and what re-inspections did
        (
            [
                ["", "", "Survey", "", "Re-insp 2025", "", "Re-insp 2026", ""],
                ["Room", "Item", "Date", "Cond", "Date", "Cond", "Date", "Cond"],
            ],
            [
                *("room", "product", "surveyed_on", "damage_before"),
                *("surveyed_before", "damage_before", "surveyed_before", "damage"),
            ],
        ),
        ([["Room", "Item", "Cond", "Reinspection 2025 cond"]], ["room", "product", "damage_before", "damage"]),
        # of one visit
        ([["Room", "Result", "Second result", "Cond"]], ["room", "identification", "identification", "damage"]),
    ],
)
def test_columns_of_the_last_visit_stand_behind_those_of_this_one_wherever_they_are(
    heading: list[list[str]], read: list[str | None], reader: Reader
) -> None:
    assert fields(heading, [], reader) == read


def test_of_several_years_the_last_is_of_this_visit_and_the_others_of_earlier_ones_the_nearer_first() -> None:
    headings = ("Condition 2022", "Condition 2024", "Condition 2023")
    bare, sure = without_visits(layout.Block(1, 1, tuple((heading,) for heading in headings)))
    assert bare.labels == (("Condition",),) * 3
    read = without_repeats([Column("Condition", "damage", sure.get(at, 1), "", ("damage_before",)) for at in range(3)])
    assert [column.field for column in read] == ["damage_before", "damage", "damage_before"]
    assert read[0].confidence < read[2].confidence


def test_numbers_that_begin_again_with_each_part_of_a_sheet_number_its_rows_and_are_no_homes(reader: Reader) -> None:
    rows = [[str(nth), "Hall", "AIB"] for nth in (1, 2, 3, 1, 2, 3, 4)]
    assert "address" not in fields([["No", "Room", "Item"]], rows, reader)
    homes = [[nth, "Hall", "AIB"] for nth in ("1", "", "2", "", "4")]
    assert fields([["No", "Room", "Item"]], homes, reader)[0] == "address"


def test_what_runs_on_from_row_to_row_numbers_the_rows_and_a_reference_of_the_stock_list_does_not(
    reader: Reader,
) -> None:
    rows = [[str(nth), "Hall", "AIB"] for nth in range(1, 5)]
    heading = [["Ref", "Room", "Item"]]
    assert fields(heading, [["Block A"], *rows], reader) == ["item_ref", "room", "product"]
    assert fields(heading, [["H1", "Hall", "AIB"], *rows], reader) == ["property_ref", "room", "product"]
    within = [[ref, "Hall", "AIB"] for ref in ("14.1", "14.2", "16.1", "18A.1", "18A.2")]
    assert fields(heading, within, reader) == ["item_ref", "room", "product"]
    assert fields(heading, within[1:], reader) == ["property_ref", "room", "product"]
    assert fields(heading, [["H1", "Hall", "AIB"], *within], reader) == ["property_ref", "room", "product"]


def test_references_that_count_the_rows_are_no_samples_where_another_column_names_those() -> None:
    known = KNOWN | {"ref": ["sample_ref"], "sample": ["sample_ref"]}
    reader = Reader("registers", known, {}, Contents(TERMS, {}), 0.8, 0.5, 3)
    heading = [["Ref", "Room", "Item", "Sample"]]
    rows = [["TM1", "Hall", "AIB", "BS031"], ["TM2", "Hall", "AIB", "x-ref BS031"], ["TM3", "Hall", "AIB", "-"]]
    rows.append(["S1", "Hall panel", "", ""])
    assert fields(heading, rows, reader) == ["item_ref", "room", "product", "sample_ref"]
    own = [[f"S{nth}", "Hall", "AIB", "BS031"] for nth in range(1, 4)]
    assert fields(heading, own, reader)[0] == "sample_ref"
    meant = [[f"TM{nth}", "Hall", "AIB", "as TM1"] for nth in range(1, 4)]
    assert fields(heading, meant, reader)[0] == "sample_ref"


def test_units_that_are_numbers_of_homes_are_no_units_of_an_amount(reader: Reader) -> None:
    heading = [["Unit", "Room", "Item"]]
    homes = [["Comm", "Hall", "AIB"], ["2", "Hall", "AIB"], ["2", "Kitchen", "AIB"], ["Total", "", "3"]]
    assert fields(heading, homes, reader) == ["address", "room", "product"]
    assert fields(heading, [["m2", "Hall", "AIB"]] * 3, reader) == ["extent_unit", "room", "product"]


@pytest.mark.parametrize(
    ("numbers", "field"),
    [
        (["15", "15", "15", "17", "21", "21"], "address"),
        (["2.0", '"', '"', "4.0", '"', "10.0"], "address"),
        (["1", "1", "2", "3", "3", "4"], None),
        (["15", "17", "21", "23", "27", "31"], None),
    ],
)
def test_numbers_that_go_on_below_themselves_and_do_not_count_are_of_homes(
    numbers: list[str], field: str | None, reader: Reader
) -> None:
    rows = [[number, "Hall", "AIB", "good"] for number in numbers] + [["Done 5", "", "", "no access 1"]]
    assert fields([["No.", "Room", "Item", "Condition"]], rows, reader)[0] == field


HEADING = ["Address", "Date", "Room - item", "Found last time (2015)", "Found today"]
ROWS = [
    ["1 Elm Road", "1/2/23", "Kitchen - AIB boxing, 2 m2", "sample F22-1 amosite, good, sealed", "same"],
    ["1 Elm Road", "1/2/23", "Hall - AIB panel", "presumed, good", "sampled KS/23/031, NAD, edge broken"],
    ["1 Elm Road", "1/2/23", "Bed 1", "no access", "no access, door locked"],
    ["1 Elm Road", "1/2/23", "Hall - AIB duct", "presumed, good", "bad, unsealed"],
]


def test_what_two_visits_found_in_words_is_taken_apart_by_field_and_visit(reader: Reader) -> None:
    labels = layout.block_at([(1, HEADING)], 0, 0).labels
    table = findings.find(labels, 0, ROWS, reader, Shorthand(TERMS))
    assert table is not None
    names = [name for name, _ in table.headings]
    said = [dict(zip(names, line, strict=True)) for row in ROWS for line in table.lines(row)]
    assert [(one["Room"], one["Material"], one["Extent"], one["Sample"]) for one in said] == [
        ("Kitchen", "AIB boxing, 2 m2", "2 m2", "F22-1"),
        ("Hall", "AIB panel", "", "KS/23/031"),
        ("Bed 1", "", "", ""),
        ("Hall", "AIB duct", "", ""),
    ]
    assert [(one["Now Result"], one["Now Condition"], one["Now Surface treatment"]) for one in said] == [
        ("same", "same", "same"),
        ("sampled KS/23/031, NAD, edge broken", "sampled KS/23/031, NAD, edge broken", ""),
        ("no access, door locked", "", ""),
        ("", "bad, unsealed", "bad, unsealed"),
    ]
    assert said[3]["Last Result"] == "presumed, good"


def test_columns_of_one_word_are_no_sentences(reader: Reader) -> None:
    labels = layout.block_at([(1, HEADING)], 0, 0).labels
    rows = [[*row[:3], "good", "bad"] for row in ROWS]
    assert findings.find(labels, 0, rows, reader, Shorthand(TERMS)) is None


def test_years_in_two_figures_are_years_where_the_same_words_stand_before_a_whole_one() -> None:
    labels = (("Ref",), ("RI 2018",), ("RI 2019",), ("RI 20",), ("RI 21",), ("Photo 03",), ("Photo 04",))
    bare, earlier = without_visits(layout.Block(1, 1, labels))
    assert [one[0] for one in bare.labels] == ["Ref", "RI", "RI", "RI", "RI", "Photo 03", "Photo 04"]
    assert sorted(earlier, key=lambda at: -earlier[at]) == [3, 2, 1]


def test_a_column_of_re_inspections_has_their_days_or_what_they_found() -> None:
    known = {"ref": ["property_ref"], "room": ["room"], "ri": ["reinspection", "surveyed_on"]}
    reader = Reader("registers", known, {}, Contents({}), 0.85, 0.6, 3)
    heading = layout.Block(1, 1, (("Ref",), ("Room",), ("RI",)))
    found = [
        read_columns(heading, [["H1", "Hall", cell] for cell in cells], reader)[2].field
        for cells in (("NC", "n/acc", "removed"), ("1/5/2024", "2/5/2024", "3/5/2024"))
    ]
    assert found == ["reinspection", "surveyed_on"]


def test_yes_or_no_below_an_unknown_heading_is_no_result(reader: Reader) -> None:
    rows = [["Hall", "Tiles", answer] for answer in ("N", "N", "Y", "N", "N")]
    assert fields([["Room", "Item", "Zqx"]], rows, reader)[2] is None


def test_two_years_of_one_visit_stand_before_what_is_found_today(reader: Reader) -> None:
    assert fields([["Room", "Item", "2008/11 cond", "Cond today"]], [], reader)[2:] == ["damage_before", "damage"]


def test_days_are_surer_of_the_visit_than_years_that_only_tell_which_it_was() -> None:
    known = {"room": ["room"], "item": ["product"], "visit": ["surveyed_on"], "date": ["surveyed_on"]}
    reader = Reader("registers", known, {}, Contents(TERMS), 0.8, 0.5, 3)
    rows = [["Hall", "AIB", "2025", "09.06.25"], ["Hall", "AIB", "2026", "15.05.26"]] * 3
    assert fields([["Room", "Item", "Visit", "Date"]], rows, reader)[3] == "surveyed_on"
    assert fields([["Room", "Item", "Visit", "Date"]], [[*cells[:3], ""] for cells in rows], reader)[2] == "surveyed_on"
