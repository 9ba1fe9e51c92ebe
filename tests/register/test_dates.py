"""Dates as people write them."""

from datetime import date

import pytest

from pipelines.register.dates import days, is_date

AS_OF = date(2026, 10, 1)


@pytest.mark.parametrize("written", ["2021", "2021.0"])
def test_a_year_alone_is_its_first_day_and_says_so_but_makes_no_column_one_of_dates(written: str) -> None:
    assert days([written], AS_OF) == [(date(2021, 1, 1), "year")]
    assert not is_date(written)


def test_a_day_without_its_year_is_of_the_year_of_the_other_days_of_its_file() -> None:
    assert days(["2/3/23", "21/2"], AS_OF)[1] == (date(2023, 2, 21), "no year")
    assert days(["2/3/23", "2/3/22", "21/2"], AS_OF)[2] == (None, "impossible")
    assert days(["21/2"], AS_OF) == [(None, "impossible")]
    assert days(["w/c 3 Jun 24", "week commencing 3/6/2024"], AS_OF) == [(date(2024, 6, 3), "week")] * 2
    assert days(["5 & 6 April 2023"], AS_OF) == [(date(2023, 4, 6), "several")]
    assert days(["in two goes, 21st and 22nd Sept 26"], AS_OF) == [(date(2026, 9, 22), "several")]


def test_letters_typed_for_figures_of_a_day_are_told() -> None:
    assert days(["3O.6.99", "l2/3/98", "21.9.O4"], AS_OF) == [
        (date(1999, 6, 30), "letters"),
        (date(1998, 3, 12), "letters"),
        (date(2004, 9, 21), "letters"),
    ]


@pytest.mark.parametrize(
    ("written", "read"),
    [
        (["2 April 2012", "18th April"], (date(2012, 4, 18), "no year")),
        (["2 April 2012", "5 May 2013", "18th April"], (None, "impossible")),
        (["18th April"], (None, "impossible")),
        (["2 April 2012", "31st April"], (None, "no year")),
    ],
)
def test_a_day_without_a_year_is_of_that_of_all_others(written: list[str], read: tuple[date | None, str]) -> None:
    assert days(written, AS_OF)[-1] == read
