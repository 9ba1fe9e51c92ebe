"""Words of surveyors that name several things: what stands is never milder than the worst of them.

That a worse condition goes before a better one is the reader's own rule; presuming where nothing was sampled is that of
HSG264 (2012, on presumption; from memory).
"""

import csv
from pathlib import Path

import pytest

from pipelines.register import columns, legends
from pipelines.register.words import plain, recognise_word

TERMS = Path(__file__).parents[2] / "pipelines" / "reference" / "terms.csv"


@pytest.fixture(scope="module")
def known() -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    with TERMS.open(encoding="utf-8", newline="") as opened:
        for row in csv.DictReader(opened):
            found.setdefault(row["field"], {})[plain(row["written"])] = row["term"]
    return found


@pytest.mark.parametrize(
    ("field", "written", "term"),
    [
        ("damage", "badly damaged; frame in good condition", "high"),
        ("damage", "low damage to high level panel", "low"),
        ("identification", "Presumed (not sampled)", "presumed"),
        ("identification", "Not suspect, not sampled", "not_suspect"),
        ("identification", "Sampled - no asbestos detected", "not_detected"),
        ("identification", "No sample taken (not asbestos trained)", "presumed"),
        ("identification", "Not sampled - no asbestos warning label seen", "presumed"),
        ("place", "Pitched roof void", "loft"),
    ],
)
def test_of_several_words_the_cautious_one_stands(
    known: dict[str, dict[str, str]], field: str, written: str, term: str
) -> None:
    assert recognise_word(field, written, known[field])[0] == term


def test_a_key_says_that_it_is_one_and_a_code_means_one_thing() -> None:
    rows = [["Condition", ""], ["P", "Presumed"], ["G", "Good"], ["F", "Fair"], ["H", "High"], ["P", "Poor"]]
    assert legends.keys_of("lists", rows) == []
    (key,) = legends.keys_of("Key", rows)
    assert key.meanings == {"G": "Good", "F": "Fair", "H": "High"}
    assert key.is_for("Cond.")
    assert not legends.Key("Product score").is_for("Condition score")


def test_of_two_columns_that_mean_one_field_by_their_last_words_neither_is_used() -> None:
    columns_read = [
        columns.Column(heading, "damage", 0.8, f"{columns.BY_LAST}, 'damage', and its contents fit")
        for heading in ("Observed damage", "Decoration damage")
    ]
    assert [column.field for column in columns._without_ties(columns_read)] == [None, None]
    assert columns._without_ties(columns_read[:1]) == columns_read[:1]
