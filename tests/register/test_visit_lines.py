"""What a line says of a visit alone."""

import pytest

from pipelines.register.visit_lines import apart, visit_alone, year_alone


def test_a_day_and_a_person_alone_are_a_visit() -> None:
    assert visit_alone("30 April 2025, A. Person", {}) == {"surveyed_on": "30 April 2025", "surveyor": "A. Person"}
    assert visit_alone("30 April 2025, kitchens", {}) == {}


@pytest.mark.parametrize(
    ("said", "day", "who"),
    [
        ("surveyed Mar 2019 (AB)", "Mar 2019", "AB"),
        ("surveyed 18.2.19 & 19.2.19 (AB/CD)", "19.2.19 (also 18.2.19)", "AB/CD"),
    ],
)
def test_the_title_of_a_block_may_tell_a_month_or_two_days(said: str, day: str, who: str) -> None:
    name, visit = apart(f"Elm Court, High Street   -   {said}")
    assert (name, visit) == ("Elm Court, High Street", {"surveyed_on": day, "surveyor": who})


@pytest.mark.parametrize(
    ("text", "year"),
    [
        ("2018", "2018"),
        ("2019.0", "2019"),
        ("2023   (day.month only)", "2023"),
        ("2021   AB covering for me", "2021"),
        ("Year: 2020", "2020"),
        ("2020 Elm Road", None),
        ("1 of 2020", None),
        ("2018-05", None),
    ],
)
def test_a_line_may_say_the_year_of_the_rows_below(text: str, year: str | None) -> None:
    assert year_alone(text) == ({"surveyed_on": year} if year else {})


def test_a_weekday_before_a_day_tells_that_the_line_is_of_a_visit() -> None:
    assert visit_alone("Tuesday 14 May 2019", {}) == {"surveyed_on": "14 May 2019"}
    assert visit_alone("Wed 15 May 2019", {}) == {"surveyed_on": "15 May 2019"}
    assert visit_alone("15 May 2019", {}) == {}


def test_initials_behind_the_day_tell_who_came() -> None:
    visit = {"surveyed_on": "6/5/98", "surveyor": "KD/AB"}
    assert apart("FLAT 4 ELM HO., HIGH ST.         6/5/98  KD/AB") == ("FLAT 4 ELM HO., HIGH ST", visit)
    assert apart("ELM HO., HIGH ST., QZ    6/5/98")[0] == "ELM HO., HIGH ST., QZ"
