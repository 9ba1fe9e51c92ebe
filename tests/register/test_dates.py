"""Dates as people write them."""

from datetime import date

import duckdb
import pytest

from pipelines.register import dates
from pipelines.register.dates import days, is_date

AS_OF = date(2026, 10, 1)


@pytest.mark.parametrize("written", ["2021", "2021.0"])
def test_a_year_alone_is_its_first_day_and_says_so_but_makes_no_column_one_of_dates(written: str) -> None:
    assert days([written], AS_OF) == [(date(2021, 1, 1), "year")]
    assert not is_date(written)


def test_a_year_and_month_in_figures_are_the_first_of_the_month() -> None:
    assert days(["2019-03", "2019-13"], AS_OF) == [(date(2019, 3, 1), "month"), (None, "impossible")]


def test_a_day_without_its_year_is_of_the_year_of_the_other_days_of_its_file() -> None:
    assert days(["2/3/23", "21/2"], AS_OF)[1] == (date(2023, 2, 21), "no year")
    assert days(["2/3/23", "2/3/22", "21/2"], AS_OF)[2] == (None, "impossible")
    assert days(["21/2"], AS_OF) == [(None, "impossible")]
    assert days(["w/c 3 Jun 24", "week commencing 3/6/2024"], AS_OF) == [(date(2024, 6, 3), "week")] * 2
    assert days(["5 & 6 April 2023"], AS_OF) == [(date(2023, 4, 6), "several")]
    assert days(["in two goes, 21st and 22nd Sept 26"], AS_OF) == [(date(2026, 9, 22), "several")]


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("13/03/2024 & 27/03/2024", (date(2024, 3, 27), "several")),
        ("28/03/2024 - 02/04/2024", (date(2024, 4, 2), "several")),
        ("3 June 2024 to 5 June 2024", (date(2024, 6, 5), "several")),
        ("28/03/2024 - 02/01/2024", (None, "impossible")),
        ("28/03/2024 - 5 m2", (None, "impossible")),
    ],
)
def test_of_two_days_in_one_cell_the_last_stands(written: str, read: tuple[date | None, str]) -> None:
    assert days([written], AS_OF) == [read]


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


def test_a_day_below_its_year_is_read_in_the_order_of_the_others() -> None:
    assert days(["2.11.2023 (year above)"], AS_OF) == [(date(2023, 11, 2), "year above")]
    assert days(["4 Mar 2023 (year above)"], AS_OF) == [(date(2023, 3, 4), "year above")]
    assert days(["03/23/21", "2.11.2023 (year above)"], AS_OF)[1] == (date(2023, 2, 11), "year above")


def test_in_a_file_of_both_orders_each_hand_keeps_to_its_own() -> None:
    con = duckdb.connect()
    con.execute("create table register_lines (path varchar, line varchar, surveyor varchar, surveyed_on varchar)")
    con.execute("create table works_lines (path varchar, line varchar, done_on varchar, raised_on varchar)")
    con.execute("create table sample_lines (path varchar, line varchar, analysed_on varchar, surveyed_on varchar)")
    rows = [
        ("AB", "23/5/18"),
        ("AB", "4/5/18"),
        ("CD", "03/23/21"),
        ("CD", "4/5/18"),
        ("EF", "4/5/18"),
        (None, "5/5/18"),
    ]
    con.executemany("insert into register_lines values ('r', 'item', ?, ?)", rows)
    dates.read(con, AS_OF)
    found = con.execute("select hand, written, day, how from dates_read order by hand, written").fetchall()
    assert found == [
        ("", "5/5/18", date(2018, 5, 5), "known"),
        ("AB", "23/5/18", date(2018, 5, 23), "known"),
        ("AB", "4/5/18", date(2018, 5, 4), "by hand"),
        ("CD", "03/23/21", date(2021, 3, 23), "known"),
        ("CD", "4/5/18", date(2018, 4, 5), "by hand"),
        ("EF", "4/5/18", None, "mixed"),
    ]


@pytest.mark.parametrize("written", ["3rd Sept ’24", "3 Sep '24", "3rd Sept. ‘24"])
def test_a_year_may_be_shortened_behind_an_apostrophe_of_any_kind(written: str) -> None:
    assert days([written], AS_OF) == [(date(2024, 9, 3), "known")]
    assert is_date(written)
