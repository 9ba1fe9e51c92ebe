"""What a named person says of a register row stands, shows who said it and when, and a correction is never lost."""

from pathlib import Path

import pytest

from tests import portfolios

FACTORS = "path,sheet,row,part,field,value,who,on,why\n"
ACCEPTED = "path,sheet,row,doubt,who,on,why\n"
REGISTER = "registers/register.csv"


def built(folder: Path, factors: str = "", accepted: str = "", **cells: str) -> Path:
    """The result of one register row, so written, with these lines of corrections."""
    portfolios.write(folder, {"register.csv": [portfolios.row(**cells)]})
    (folder / "corrections").mkdir()
    (folder / "corrections/factors.csv").write_text(FACTORS + factors, encoding="utf-8")
    (folder / "corrections/accepted.csv").write_text(ACCEPTED + accepted, encoding="utf-8")
    return portfolios.read(folder)


@pytest.mark.parametrize(
    ("field", "value", "column"),
    [
        ("damage_score", "3", "damage_score"),
        ("surface_treatment_score", "3", "surface_treatment_score"),
        ("product_type_score", "1", "product_type_score"),
        ("asbestos_type_score", "3", "asbestos_type_score"),
        ("accessibility", "2", "accessibility"),
        ("product", "asbestos_cement", "product"),
        ("place", "loft", "place"),
        ("identification", "presumed", "identification"),
        ("extent", "2.5", "extent::varchar"),
        ("extent_unit", "m", "extent_unit"),
        ("asbestos_types", "crocidolite", "asbestos_types[1]"),
    ],
)
def test_a_corrected_field_holds_what_the_person_said_and_says_who(
    field: str, value: str, column: str, tmp_path: Path
) -> None:
    result = built(tmp_path, f"{REGISTER},,2,1,{field},{value},A. Person,2026-09-01,seen on site\n")
    assert portfolios.ask(result, f"select ({column})::varchar from entries") == [(value,)]
    assert portfolios.ask(result, f"select kind, reason from doubts where field = '{field}'") == [
        ("corrected", f"a person corrected the reading: {value}, by A. Person, 1 Sep 2026, seen on site")
    ]
    assert portfolios.ask(result, "select count(*) from set_aside_rows where path like 'corrections/%'") == [(0,)]


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
