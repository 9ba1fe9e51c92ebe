"""The kept repair history follows its true rates and looks like a call centre's, and its truth speaks of real rows."""

import csv
import math
from collections import Counter, defaultdict
from datetime import datetime
from functools import cache
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_data"
YEARS = 2
NOT_DONE = ("exact_duplicate", "cancelled", "unknown_property")
HEADINGS = ["Job No", "Property Ref", "Address", "Raised", "Completed", "Trade", "Job Description", "Status"]
OWN_ACTS = {
    "redecorating_inside",
    "floor_covering",
    "putting_up_shelves_pictures_rails",
    "storing_and_clearing_cupboards",
    "outdoor_play_garden",
    "moving_in_or_out",
}


def _table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


@cache
def _jobs() -> list[tuple[dict[str, str], dict[str, str], dict[str, str]]]:
    """Cells, truth, and the cells of the row above, of every row of both files."""
    files = {f"works/{path.name}": _table(path) for path in (SAMPLE / "portfolio" / "works").glob("repairs_*.csv")}
    found = []
    for told in _table(SAMPLE / "truth" / "jobs.csv"):
        at = int(told["row_number"]) - 2
        found.append((files[told["path"]][at], told, files[told["path"]][at - 1]))
    assert len(found) == sum(len(rows) for rows in files.values())
    return found


@cache
def _parts() -> dict[str, str]:
    return {row["property_ref"]: row["part"] for row in _table(SAMPLE / "truth" / "properties.csv")}


def _done() -> list[dict[str, str]]:
    return [told for _, told, _ in _jobs() if told["rule"] not in NOT_DONE]


def _planted(rule: str) -> list[tuple[dict[str, str], dict[str, str], dict[str, str]]]:
    found = [job for job in _jobs() if job[1]["rule"] == rule]
    assert found
    return found


def test_two_files_with_the_headings_of_a_repair_history() -> None:
    paths = sorted((SAMPLE / "portfolio" / "works").glob("repairs_*.csv"))
    assert [path.name for path in paths] == ["repairs_2024-2025.csv", "repairs_2025-2026.csv"]
    assert all(list(_table(path)[0]) == HEADINGS for path in paths)


def test_repairs_a_home_and_year() -> None:  # judgement, no published source
    years = YEARS * sum(part == "home" for part in _parts().values())
    works = [told["work_type"].split(";") for told in _done() if _parts()[told["property_ref"]] == "home"]
    assert 3 <= len(works) / years <= 4.5
    assert 0.3 <= sum(name != "none" for names in works for name in names) / years <= 1.2


def test_counts_follow_the_true_rates() -> None:
    expected: dict[str, float] = defaultdict(float)
    for row in _table(SAMPLE / "truth" / "rates.csv"):
        expected[row["work_type"]] += float(row["rate_per_year"]) * int(row["properties"]) * YEARS
    counts = Counter(name for told in _done() for name in told["work_type"].split(";"))
    assert set(counts) <= set(expected)
    for name, mean in expected.items():
        slack = 2.5 if name == "none" else 1.0  # trifling jobs are spread unevenly between homes
        assert abs(counts[name] - mean) <= 4 * slack * math.sqrt(mean), name


def test_true_rates_differ_by_dwelling_and_area_and_hold_no_acts_of_occupants() -> None:
    rows = _table(SAMPLE / "truth" / "rates.csv")
    assert not OWN_ACTS & {row["work_type"] for row in rows}
    fans = {
        row["rate_per_year"] for row in rows if row["work_type"] == "fan_damp_works" and row["rate_per_year"] != "0.0"
    }
    assert len(fans) == 4 * 9
    assert {row["dwelling_type"] for row in rows} == {"house", "bungalow", "flat", "common_parts", "garage"}


def test_properties_in_the_truth_are_those_of_the_rows() -> None:
    for cells, told, _ in _jobs():
        if told["rule"] == "unknown_property":
            assert told["property_ref"] == "" and cells["Property Ref"] not in _parts()
        elif told["rule"] == "reference_retyped":
            assert cells["Property Ref"] == told["property_ref"].lower().replace("mh", "mh ")
        elif told["rule"] != "address_only":
            assert told["property_ref"] == cells["Property Ref"] or told["rule"] == "exact_duplicate"
            assert told["property_ref"] in _parts()


def test_job_numbers_are_used_once_but_in_duplicates() -> None:
    numbers = Counter(cells["Job No"] for cells, told, _ in _jobs() if told["rule"] != "exact_duplicate")
    assert max(numbers.values()) == 1
    assert all(cells == above for cells, _, above in _planted("exact_duplicate"))


def test_dates_lie_in_their_year_and_in_order() -> None:
    for cells, told, _ in _jobs():
        if told["rule"] in ("impossible_date", "exact_duplicate"):
            continue
        raised = datetime.strptime(cells["Raised"], "%d/%m/%Y")
        first = int(told["path"].split("_")[1][:4])
        assert datetime(first, 10, 1) <= raised < datetime(first + 1, 10, 1)
        if cells["Completed"] and told["rule"] != "completed_before_raised":
            assert raised <= datetime.strptime(cells["Completed"], "%d/%m/%Y") <= datetime(2026, 9, 30)


def test_planted_cells_are_what_the_truth_says() -> None:
    assert all(cells["Status"] == "Cancelled" and not cells["Completed"] for cells, _, _ in _planted("cancelled"))
    assert all(cells["Status"] == "In progress" and not cells["Completed"] for cells, _, _ in _planted("still_open"))
    assert all(cells["Property Ref"] == "" and cells["Address"] for cells, _, _ in _planted("address_only"))
    assert all(cells["Job Description"] == "" for cells, _, _ in _planted("blank_description"))
    assert all(cells["Raised"] == "31/02/2025" for cells, _, _ in _planted("impossible_date"))
    assert all(cells["Completed"] == "14/06/2022" for cells, _, _ in _planted("completed_before_raised"))
    assert all(len(set(told["work_type"].split(";"))) == 2 for _, told, _ in _planted("two_works"))
    assert all("\n" in cells["Job Description"] for cells, _, _ in _planted("hostile_line_break"))
    assert all("<script>" in cells["Job Description"] for cells, _, _ in _planted("hostile_markup"))
    assert all(cells["Job Description"] == "=1+1" for cells, _, _ in _planted("hostile_formula"))


def test_a_phrase_means_one_work_and_every_work_has_many() -> None:
    words = _table(SAMPLE / "tables" / "job_words.csv")
    assert max(Counter(row["text"].lower() for row in words).values()) == 1
    many = Counter(row["work_type"] for row in words if row["place"] == "home")
    assert many.pop("none") >= 40
    assert min(many.values()) >= 8


def test_prevalence_by_archetype_is_that_of_the_truth() -> None:
    part_of = {"non-domestic": "common parts"}
    facts = {row["property_ref"]: row for row in _table(SAMPLE / "truth" / "properties.csv")}
    kind = {ref: (row["archetype"], part_of.get(row["part"], row["part"])) for ref, row in facts.items()}
    holding: dict[tuple[str, ...], set[str]] = defaultdict(set)
    for item in _table(SAMPLE / "truth" / "homes.csv"):
        if item["is_asbestos"] == "True":
            ref = item["property_ref"]
            holding[(*kind[ref], item["contact_code"], item["product"])].add(ref)
    many = Counter(kind.values())
    rows = _table(SAMPLE / "truth" / "archetypes.csv")
    keys = [tuple(row[name] for name in ("archetype", "part", "contact_code", "product")) for row in rows]
    assert len(set(keys)) == len(keys)
    assert set(holding) <= set(keys)
    for key, row in zip(keys, rows, strict=True):
        assert int(row["properties"]) == many[key[0], key[1]]
        assert float(row["prevalence"]) == pytest.approx(len(holding[key]) / many[key[0], key[1]], abs=1e-6)
