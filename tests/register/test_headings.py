"""Headings that are questions, or words run together. The texts are invented."""

import csv
import re
from pathlib import Path

import pytest

from pipelines.register.contents import Contents
from pipelines.register.reader import Reader

QUESTIONS = Path(__file__).parents[2] / "pipelines" / "reference" / "heading_questions.csv"
KNOWN = {"prop name": ["address"], "remarks": ["notes"], "name": ["address"], "unit": ["extent_unit"]}


@pytest.fixture(scope="module")
def reader() -> Reader:
    with QUESTIONS.open(encoding="utf-8", newline="") as opened:
        asked = [(re.compile(row["pattern"]), row["field"]) for row in csv.DictReader(opened)]
    return Reader("registers", KNOWN, {}, Contents({}), 0.8, 0.5, 3, asked)


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("3.4 How much of it is there? (number only)", "extent"),
        ("What unit is your answer in?", "extent_unit"),
        ("Which room or area are you in?", "room"),
        ("Which property are you surveying?", "address"),
        ("What date was the inspection carried out?", "surveyed_on"),
        ("Date the laboratory result was entered", None),
        ("If sampled, scan the sample bag", "sample_ref"),
        ("If strongly presumed, which sample bag does it match?", "sample_like"),
        ("Were you able to get into this room?", "accessed"),
        ("How easy is it for people to reach and disturb?", "accessibility"),
        ("How damaged is the material?", "damage"),
        ("If it has been removed, when?", "removed_on"),
        ("Is the item still there?", "removed"),
        ("PropName", "address"),
        ("Surveyor's remarks", "notes"),
        ("Surveyor's name", None),
        ("How nice", None),
        ("A column about conditions of the lease", None),
    ],
)
def test_a_heading_asks_for_a_field(heading: str, field: str | None, reader: Reader) -> None:
    assert reader.field_of(heading) in ((field,) if field else (None, "none"))
