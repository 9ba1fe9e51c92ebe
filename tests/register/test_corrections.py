"""What a named person says of a register row stands, shows who said it and when, and a correction is never lost."""

from pathlib import Path

import pytest

from tests import portfolios

FACTORS = "path,sheet,row,part,field,value,who,on,why\n"
ACCEPTED = "path,sheet,row,doubt,who,on,why\n"
REGISTER = "registers/register.csv"


def built(folder: Path, factors: str = "", accepted: str = "", **cells: str) -> Path:
    """The result of one register row, so written, with these lines of corrections."""
    return with_corrections(portfolios.write(folder, {"register.csv": [portfolios.row(**cells)]}), factors, accepted)


def with_corrections(folder: Path, factors: str = "", accepted: str = "") -> Path:
    """The result of a portfolio with these lines of corrections."""
    (folder / "corrections").mkdir()
    (folder / "corrections/factors.csv").write_text(FACTORS + factors, encoding="utf-8")
    (folder / "corrections/accepted.csv").write_text(ACCEPTED + accepted, encoding="utf-8")
    return portfolios.read(folder)


CORRECTED = {
    "damage_score": "3",
    "surface_treatment_score": "3",
    "product_type_score": "1",
    "asbestos_type_score": "3",
    "accessibility": "2",
    "product": "asbestos_cement",
    "place": "loft",
    "identification": "presumed",
    "extent": "2.5",
    "extent_unit": "m",
    "asbestos_types": "crocidolite",
}
COLUMNS = {"extent": "extent::varchar", "asbestos_types": "asbestos_types[1]"}


@pytest.fixture(scope="module")
def corrected(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The result of a row for each field, in which a person corrected that field."""
    numbers = range(1, len(CORRECTED) + 1)
    rows = [portfolios.row(Location=f"Bedroom {number}", Sample_Ref=f"S{number}") for number in numbers]
    lines = "".join(
        f"{REGISTER},,{number},1,{field},{value},A. Person,2026-09-01,seen on site\n"
        for number, (field, value) in enumerate(CORRECTED.items(), start=2)
    )
    return with_corrections(portfolios.write(tmp_path_factory.mktemp("corrected"), {"register.csv": rows}), lines)


@pytest.mark.parametrize(("number", "field"), list(enumerate(CORRECTED, start=2)), ids=str)
def test_a_corrected_field_holds_what_the_person_said_and_says_who(number: int, field: str, corrected: Path) -> None:
    value = CORRECTED[field]
    held = f"select ({COLUMNS.get(field, field)})::varchar from entries where row_number = {number}"
    assert portfolios.ask(corrected, held) == [(value,)]
    doubts = f"select row_number, kind, reason from doubts where field = '{field}' and kind = 'corrected'"
    said = f"a person corrected the reading: {value}, by A. Person, 1 Sep 2026, seen on site"
    assert portfolios.ask(corrected, doubts) == [(number, "corrected", said)]


def test_every_correction_of_a_field_is_used(corrected: Path) -> None:
    assert portfolios.ask(corrected, "from set_aside_rows where path like 'corrections/%'") == []
    assert portfolios.ask(corrected, "select count(*) from doubts where kind = 'corrected'") == [(len(CORRECTED),)]


def test_a_corrected_score_changes_the_total_of_the_item(tmp_path: Path) -> None:
    # Board 2, damage 0, painted board 1, amosite 2 are 5; with damage 3 instead 8 (HSG264 appendix 4; from memory).
    line = f"{REGISTER},,2,1,damage_score,3,A. Person,2026-09-01,\n"
    assert portfolios.ask(built(tmp_path / "before"), "select material_score, act_now from items") == [(5, False)]
    assert portfolios.ask(built(tmp_path / "after", line), "select material_score, act_now from items") == [(8, True)]


def test_a_positive_analysis_is_resolved_by_a_named_person_only(tmp_path: Path) -> None:
    line = f"{REGISTER},,2,1,identification,not_detected,{{}},2026-09-01,the sample was exchanged\n"
    named = built(tmp_path / "named", line.format("A. Person"))
    nameless = built(tmp_path / "nameless", line.format(""))
    assert portfolios.ask(named, "select status, asbestos_types from items") == [("not_detected", [])]
    assert portfolios.ask(nameless, "select status, asbestos_types from items") == [("present", ["amosite"])]
    assert portfolios.ask(nameless, "select reason_code from set_aside_rows") == [("correction_unsigned",)]


def test_an_accepted_doubt_is_seen_and_not_open(tmp_path: Path) -> None:
    line = f"{REGISTER},,2,damage_missing,A. Person,2026-09-01,to be seen in May\n"
    open_one = built(tmp_path / "open", Condition="")
    accepted = built(tmp_path / "accepted", accepted=line, Condition="")
    doubt = "select accepted_by, accepted_on::varchar, accepted_why from doubts where doubt = 'damage_missing'"
    flagged = "select list_contains(doubts, 'damage_score') from entries"
    assert portfolios.ask(open_one, doubt) == [(None, None, None)]
    assert portfolios.ask(open_one, flagged) == [(True,)]
    assert portfolios.ask(accepted, doubt) == [("A. Person", "2026-09-01", "to be seen in May")]
    assert portfolios.ask(accepted, flagged) == [(False,)]
    # What is accepted is a doubt, not a score: the range stays as wide as before.
    scores = "select material_score, material_low, material_high from items"
    assert portfolios.ask(open_one, scores) == portfolios.ask(accepted, scores)


def test_every_correction_is_used_or_set_aside(tmp_path: Path) -> None:
    factors = [
        f"{REGISTER},,2,1,damage_score,1,A,2026-09-01,",
        f"{REGISTER},,2,1,damage_score,2,A,2026-09-02,",
        f"{REGISTER},,2,7,damage_score,2,A,2026-09-02,",
        f"{REGISTER},,2,1,colour,2,A,2026-09-02,",
        "=cmd|' /C calc'!A0,'; drop table items; --,2,1,damage_score,2,A,2026-09-02,",
    ]
    accepted = [f"{REGISTER},,2,product_type_derived,A,2026-09-01,", f"{REGISTER},,2,place_missing,A,2026-09-01,"]
    result = built(tmp_path, "\n".join(factors) + "\n", "\n".join(accepted) + "\n")
    assert portfolios.ask(
        result,
        "select path, rows_read, rows_used, rows_set_aside from source_files where kind = 'corrections' order by path",
    ) == [("corrections/accepted.csv", 2, 1, 1), ("corrections/factors.csv", 5, 1, 4)]
    assert portfolios.ask(
        result, "select row_number, reason_code from set_aside_rows where path like '%factors%' order by row_number"
    ) == [
        (2, "correction_meets_nothing"),
        (4, "correction_meets_nothing"),
        (5, "correction_unknown_field"),
        (6, "correction_meets_nothing"),
    ]
