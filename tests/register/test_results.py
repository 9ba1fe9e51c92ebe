"""What laboratories write of what they found. The wordings are common practice, no source."""

import csv
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipelines import queries
from pipelines.register import results
from pipelines.register.words import plain

with (queries.REFERENCE / "terms.csv").open(encoding="utf-8", newline="") as opened:
    TERMS = list(csv.DictReader(opened))
OUTCOMES = {plain(row["written"]): row["term"] for row in TERMS if row["field"] == "analysis_result"}
TYPES = {
    plain(row["written"]): row["term"]
    for row in TERMS
    if row["field"] == "asbestos_type" and row["term"] not in ("none", "unknown")
}

FOUND = {
    "Chrysotile": "chrysotile",
    "Amosite & chrysotile": "amosite chrysotile",
    "Amosite and chrysotile": "amosite chrysotile",
    "chrysotile <1%": "chrysotile",
    "Chrysotile (trace), no other asbestos": "chrysotile",
    "amosite 0.5%": "amosite",
    "Chrysotyle/amsite": "amosite chrysotile",
    "White asbestos": "chrysotile",
    "Yes - Amosite": "amosite",
    "Chrysotile detected, no amosite": "chrysotile",
    "Chrysotile present no amosite detected": "chrysotile",
    "chrysotile: ND; amosite: Yes; crocidolite: ND": "amosite",
    "No asbestos detected in adhesive; chrysotile in tile": "chrysotile",
    "No asbestos detected. Chrysotile noted in screws": "chrysotile",
    "Crocidolite + amosite": "amosite crocidolite",
    "trace": "",
    "+ve": "",
    "Asbestos detected": "",
    "Positive - type TBC": "",
}
NONE = (
    "No asbestos detected",
    "NADIS",
    "N.A.D.I.S.",
    "-ve",
    "None",
    "Non-asbestos fibres",
    "No chrysotile detected",
    "No chrysotile or amosite",
    "Crocidolite not detected",
    "chrysotile: ND; amosite: 0; crocidolite: none detected",
    "chrysotile 0%",
    "Analysed: no asbestos",
)
NO_RESULT = ("Awaited", "Sample lost in post", "insufficient sample", "Not analysed", "n/a")
NOT_KNOWN = ("<script>alert(1)</script>", '=HYPERLINK("x")', "'; drop table samples; --", "C", "", "lorem ipsum")


@pytest.mark.parametrize(("written", "types"), FOUND.items())
def test_asbestos_is_found_with_its_types(written: str, types: str) -> None:
    result = results.read(written, OUTCOMES, TYPES)
    assert (result.outcome, " ".join(result.types)) == ("detected", types)


@pytest.mark.parametrize(("words", "outcome"), [(NONE, "none"), (NO_RESULT, "no_result"), (NOT_KNOWN, None)])
def test_other_words_are_none_no_result_or_not_known(words: tuple[str, ...], outcome: str | None) -> None:
    assert {results.read(written, OUTCOMES, TYPES)[:2] for written in words} == {(outcome, ())}


def test_words_that_say_different_things_are_told() -> None:
    assert results.read("Chrysotile detected, no amosite", OUTCOMES, TYPES).how == "several"
    assert results.read("Chrysotile (trace)", OUTCOMES, TYPES).how == "within"
    assert results.read("Amosite, chrysotile", OUTCOMES, TYPES).how == "known"


@given(st.text(string.ascii_letters + string.digits + string.punctuation + " \n", max_size=60))
def test_whatever_is_written_after_a_type_that_was_found_it_stays_found(text: str) -> None:
    """A clause of its own can add to what was found and never take it away."""
    assert "amosite" in results.read(f"Amosite; {text}", OUTCOMES, TYPES).types
