"""Dates as people write them."""

from datetime import date

import pytest

from pipelines.register.dates import days, is_date

AS_OF = date(2026, 10, 1)


@pytest.mark.parametrize("written", ["2021", "2021.0"])
def test_a_year_alone_is_its_first_day_and_says_so_but_makes_no_column_one_of_dates(written: str) -> None:
    assert days([written], AS_OF) == [(date(2021, 1, 1), "year")]
    assert not is_date(written)
