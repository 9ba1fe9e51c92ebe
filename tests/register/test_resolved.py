"""Columns of codes beside columns of their words."""

from pipelines.register.resolved import resolved

HEADING = ["ITM", "COND_CD", "COND_TXT"]
ROWS = [["a", "1", "Good"], ["b", "1", "Good"], ["c", "2", "Low damage"], ["d", "2", "Low damage"]]


def _read(*rows: list[str]) -> list[list[str]]:
    return [list(cells) for _, cells in resolved(list(enumerate([HEADING, *ROWS, *rows])))]


def test_the_words_win_and_a_missing_one_is_what_its_code_means_elsewhere() -> None:
    assert _read(["e", "2", "NULL"], ["f", "1", "#LKP"], ["g", "NULL", "NULL"]) == [
        *([item, "", words] for item, _, words in ROWS),
        ["e", "", "Low damage"],
        ["f", "", "Good"],
    ]


def test_a_code_that_no_row_explains_is_asked_and_not_taken_for_a_score() -> None:
    assert _read(["e", "3", ""])[-1] == ["e", "", "code 3"]


def test_words_that_differ_beside_one_code_are_remarks_and_not_its_meaning() -> None:
    assert _read(["e", "2", "Cracked at the edge"]) == []


def test_words_that_leave_it_to_the_text_beside_them_are_that_text() -> None:
    heading = ["MAT_CD", "MAT_TXT", "ITM_TXT"]
    rows = [["1", "Board", ""], ["1", "Board", "painted"], ["9", "Other (see text)", "Woven guard"]]
    rows += [["9", "Other (see text)", ""]]
    assert [cells for _, cells in resolved(list(enumerate([heading, *rows])))] == [
        ["", "Board", ""],
        ["", "Board", "painted"],
        ["", "Woven guard", "Woven guard"],
        ["", "Other (see text)", ""],
    ]
