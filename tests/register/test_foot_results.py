"""What was found in samples, told on the sheet of the items. The tables and lines are invented."""

import csv
from collections import defaultdict
from importlib import resources
from pathlib import Path

import pytest

from pipelines.register import foot_results
from pipelines.register.contents import Contents
from pipelines.register.reader import Reader
from pipelines.register.results import Result, read
from pipelines.register.words import plain
from tests import portfolios

HEADING = ["No", "Location", "Material", "Extent", "Sample", "Result", "Condition"]
ITEMS = [
    (1, ["4 Elm Road"]),
    (2, HEADING),
    (3, ["1", "Riser", "AIB panel", "2m2", "S1", "Presumed", "Good"]),
    (4, ["2", "Stairs", "Textured coating", "9m2", "S-02", "Presumed", "Good"]),
    (5, ["3", "Loft", "AIB panel", "1m2", "as S7", "Presumed", "Good"]),
    (6, ["4", "Hall", "Floor tiles", "1m2", "S3", "Presumed", "Good"]),
]
Said = tuple[int, str, str | None, str | None]


@pytest.fixture(scope="module")
def readers() -> dict[str, Reader]:
    known: dict[str, dict[str, list[str]]] = {"registers": defaultdict(list), "samples": defaultdict(list)}
    with (resources.files("pipelines") / "reference" / "headings.csv").open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            if row["kind"] in known:
                known[row["kind"]][plain(row["heading"])].append(row["field"])
    return {kind: Reader(kind, words, {}, Contents({}), 0.8, 0.5, 3) for kind, words in known.items()}


@pytest.fixture(scope="module")
def known() -> dict[str, dict[str, str]]:
    words: dict[str, dict[str, str]] = {"analysis_result": {}, "asbestos_type": {}}
    with (resources.files("pipelines") / "reference" / "terms.csv").open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            if row["field"] in words and row["term"] not in ("unknown",):
                words[row["field"]].setdefault(plain(row["written"]), row["term"])
    words["asbestos_type"] = {word: term for word, term in words["asbestos_type"].items() if term != "none"}
    return words


def found(
    rows: list[tuple[int, list[str]]], readers: dict[str, Reader], known: dict[str, dict[str, str]]
) -> tuple[list[Said], list[int]]:
    def reads(text: str) -> Result:
        return read(text, known["analysis_result"], known["asbestos_type"])

    foot = foot_results.find(rows, readers["registers"], readers["samples"], reads)
    return [(one.number, one.sample_ref, one.what, one.result) for one in foot.samples], sorted(foot.around)


def test_a_table_of_samples_below_the_items_says_what_was_found(
    readers: dict[str, Reader], known: dict[str, dict[str, str]]
) -> None:
    rows = [
        *ITEMS,
        (8, ["", "Samples taken this year (8/9/26)"]),
        (9, ["No", "Taken from", "", "Result"]),
        (10, ["S1", "Riser panel", "", "No asbestos detected"]),
        (11, ["S2", "Stairs", "", "Chrysotile", "cert 26/4502"]),
        (12, ["S9", "Shed roof", "", "lab still has it"]),
        (13, ["Total 4 lines"]),
    ]
    assert found(rows, readers, known) == (
        [
            (10, "S1", "Riser panel", "No asbestos detected"),
            (11, "S2", "Stairs", "Chrysotile"),
            (12, "S9", "Shed roof", "lab still has it"),
        ],
        [8, 9],
    )
    without_title = [*ITEMS, (9, ["Sample no.", "Location", "Result"]), (10, ["S1", "Riser panel", "NADIS"])]
    assert found(without_title, readers, known) == ([(10, "S1", "Riser panel", "NADIS")], [9])


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("S1 - no asbestos detected", [("S1", None, "no asbestos detected")]),
        (
            "Samples this year: S1 riser lining - brown (lab cert. 26/4471, 15.9.26). That was the only one.",
            [("S1", "riser lining", "brown")],
        ),
        (
            "Lab results: S1 and S2 both clear; S3 chrysotile",
            [("S1 and S2", None, "both clear"), ("S3", None, "chrysotile")],
        ),
        ("Samples: S1 to follow, S3 came back clear", [("S1", None, "to follow"), ("S3", None, "clear")]),
        ("Samples: none taken here this year.", []),
        ("Samples: S1 white ceiling board", []),
        ("S8 - no asbestos detected", []),
        ("Door of S1 was clear", []),
    ],
)
def test_a_line_says_what_was_found_in_samples_of_items(
    line: str,
    said: list[tuple[str, str | None, str]],
    readers: dict[str, Reader],
    known: dict[str, dict[str, str]],
) -> None:
    assert [one[1:] for one in found([*ITEMS, (8, ["", line])], readers, known)[0]] == said


def test_items_below_a_title_of_samples_stay_items(
    readers: dict[str, Reader], known: dict[str, dict[str, str]]
) -> None:
    heading = ["Sample", "Location", "Material", "Result"]
    rows = [
        (1, heading),
        (2, ["4 Elm Road - samples taken 2"]),
        (3, ["S1", "Kitchen", "AIB panel", "Amosite"]),
        (4, ["S2", "Hall", "Floor tiles", "None detected"]),
        (5, ["6 Elm Road - samples taken 1"]),
        (6, ["S3", "Kitchen", "AIB panel", "Amosite"]),
        (7, ["as S3", "Hall", "AIB panel", "Amosite"]),
    ]
    assert found(rows, readers, known) == ([], [])


def test_results_on_the_sheet_decide_for_the_samples_of_that_sheet_and_no_other(tmp_path: Path) -> None:
    lines = [
        "No,Location,Material,Extent,Sample,Result,Condition",
        "1,Riser,AIB panel,2m2,S1,Presumed,Good",
        "2,Stairs,AIB panel,2m2,S2,Presumed,Good",
        "3,Hall,AIB panel,2m2,S3,Presumed,Good",
        "4,Loft,AIB panel,2m2,as S2,Presumed,Good",
        "5,Bath,AIB panel,2m2,S4,S4,Good",
    ]
    feet = {
        "one": [",Samples taken", "S1,Riser panel,none found", "S2,Stairs,Brown", "S3,Hall,result awaited"],
        "two": [",Samples: S1 riser panel - amosite"],
    }
    folder = portfolios.write(tmp_path, {})
    for (name, foot), address in zip(feet.items(), ("1 Elm Road", "2 Elm Road"), strict=True):
        text = "\n".join([address, *lines, *foot]) + "\n"
        (folder / "registers").mkdir(exist_ok=True)
        (folder / "registers" / f"{name}.csv").write_text(text, encoding="utf-8")
    database = portfolios.read(folder)
    asked = (
        "select path, row_number, identification, asbestos_types, list_contains(doubts, 'identification') from entries"
    )
    read_as = {(Path(path).stem, row): tuple(said) for path, row, *said in portfolios.ask(database, asked)}
    assert read_as["one", 3] == ("not_detected", [], True)
    assert read_as["one", 4] == ("identified", ["amosite"], True)
    assert read_as["one", 5] == ("presumed", [], True)
    assert read_as["one", 6] == ("strongly_presumed", ["amosite"], True)
    assert read_as["two", 3] == ("identified", ["amosite"], True)
    assert read_as["two", 4] == ("presumed", [], True)
    assert read_as["two", 7][2] is True
    counted = portfolios.ask(
        database, "select rows_read, rows_used, rows_set_aside, rows_layout from source_files order by path"
    )
    assert counted[0] == (8, 7, 1, 3)
    aside = portfolios.ask(database, "select row_number, reason_code from set_aside_rows")
    assert aside == [(11, "sample_without_result")]
