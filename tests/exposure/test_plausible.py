"""Figures of a size that people of the trade would not laugh at; outside a range, look for the mistake first.

Every range here is judgement, with no published source.
"""

from pathlib import Path

import pandas as pd
import pytest

from pipelines import queries
from pipelines.exposure import CONTROL_LIMIT, p_over
from tests import portfolios


def reference(name: str) -> pd.DataFrame:
    return pd.read_csv(queries.REFERENCE / f"{name}.csv")


def test_an_average_house_of_1965_to_1974_comes_to_about_one_exceedance_in_ten_years() -> None:
    # Reckoned from the tables alone, without a build: shares of houses with each material times what a year of all work
    # on it comes to, one task for each pair. Between 0.07 and 0.16 a year, uncontrolled (judgement).
    presence = reference("presence").query("part == 'home' and from_year == 1965")
    rates = reference("rates").query("dwelling == 'house'")[["work_type", "rate_per_year"]]
    lines = (
        reference("contacts")
        .query("task != 'air_movement'")
        .merge(reference("contact_codes")[["contact_code", "product"]])
        .merge(reference("release").query("control == 'uncontrolled'"), on=["product", "task"])
        .merge(rates)
        .merge(presence[["contact_code", "share"]])
    )
    lines["touched_over"] = lines["contact"] * p_over(
        lines["gm_f_per_ml"], lines["gsd"], lines["gm_uncertainty_factor"], lines["minutes"], CONTROL_LIMIT
    )
    worst = lines.sort_values("touched_over").groupby(["work_type", "contact_code"]).tail(1)
    a_year = (worst["share"] * worst["rate_per_year"] * worst["touched_over"]).sum()
    assert len(worst) > 80
    assert 0.07 < a_year < 0.16


def total(database: Path) -> float:
    return float(portfolios.ask(database, "select sum(exceedances) from work_pairs")[0][0])


def test_the_sample_comes_to_three_to_ten_exceedances_a_year_in_a_hundred_homes(sample_result: Path) -> None:
    # Judgement: 0.03 to 0.10 a home and year, uncontrolled.
    ((homes,),) = portfolios.ask(sample_result, "select sum(homes) from buildings")
    assert 0.03 < total(sample_result) / homes < 0.10


def test_about_half_or_more_of_it_comes_from_insulating_board(sample_result: Path) -> None:
    # Judgement: 45 to 75 %.
    ((board,),) = portfolios.ask(
        sample_result, "select sum(exceedances) from work_pairs where product = 'insulating_board'"
    )
    assert 0.45 < board / total(sample_result) < 0.75


def test_no_work_on_one_material_makes_up_a_fifth(sample_result: Path) -> None:
    # Judgement: a pair over 20 % would more likely be a slip in one row of a table than the truth.
    ((most,),) = portfolios.ask(
        sample_result,
        "select max(x) from (select sum(exceedances) as x from work_pairs group by work_type, contact_code)",
    )
    assert most / total(sample_result) < 0.20


def test_good_practice_leaves_a_sixth_to_little_more_than_a_half(sample_result: Path) -> None:
    # Judgement: 15 to 55 %; what occupants do, and what nobody may do, has no controlled figure and stays whole.
    ((controlled,),) = portfolios.ask(sample_result, "select sum(exceedances_controlled) from work_pairs")
    assert 0.15 < controlled / total(sample_result) < 0.55


def test_a_worse_year_than_the_point_is_within_the_range_of_the_whole(sample_result: Path) -> None:
    rows = portfolios.ask(
        sample_result,
        "select exceedances_known + exceedances_possible, exceedances_low, exceedances_high from area_ranking",
    )
    for point, low, high in rows:
        assert low < point < high
        # Judgement: with this many parameters in doubt no area is known to a factor of 1.5, nor worse than to 10.
        assert 1.5 < high / low < 10


@pytest.mark.parametrize("work_type", ["rewire", "kitchen_refit", "redecorating_inside"])
def test_every_kind_of_work_meets_several_materials(work_type: str, sample_result: Path) -> None:
    # Common practice, no source.
    ((codes,),) = portfolios.ask(
        sample_result,
        f"select count(distinct contact_code) from work_pairs where work_type = '{work_type}'",
    )
    assert codes >= 4
