"""The Activities page says what the result holds of works and of the figures behind them."""

import json
from pathlib import Path

import pytest

from tests import portfolios
from tests.dashboard.pages import floats, one, page, said


def test_the_activities_page_adds_up_to_the_portfolio(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (total,) = one(sample_result, "select sum(exceedances_known + exceedances_possible) from building_ranking")
    (pairs,) = one(sample_result, "select sum(exceedances) from work_pairs")
    assert pairs == pytest.approx(total, rel=1e-9)
    app = page(sample_folder, monkeypatch, "activities")
    assert f"All work together comes to {total:,.0f} exceedances of the control limit a year" in said(app)
    low, high = one(
        sample_result, "select exceedances_controlled_low, exceedances_controlled_high from portfolio_ranges"
    )
    assert f"(90 % range {low:,.0f} to {high:,.0f}) remain." in said(app)
    (bars,) = (json.loads(chart.proto.spec)["data"] for chart in app.get("plotly_chart"))
    for bar, name in zip(bars, ("exceedances_controlled", "exceedances"), strict=True):
        ends = portfolios.ask(sample_result, f"select {name}_high from work_ranges order by 1 desc")
        reached = [a + b for a, b in zip(floats(bar["x"]), floats(bar["error_x"]["array"]), strict=True)]
        assert sorted(reached, reverse=True) == pytest.approx([end for (end,) in ends])


def test_the_activities_page_lists_every_figure_and_finds_them_by_words(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (every,) = one(sample_result, "select count(*) from parameters")
    app = page(sample_folder, monkeypatch, "activities")
    assert len(app.dataframe[0].value) == every
    point, low, high, n = one(
        sample_result,
        "select point, low, high, n from rates where work_type = 'boiler_heating_replacement' and dwelling = 'house' "
        "and area = 'Merrowhythe'",
    )
    found = page(sample_folder, monkeypatch, "activities", words="Boiler/heating replacement, house, Merrowhythe")
    assert found.dataframe[0].value[["point", "low", "high", "n"]].to_numpy().tolist() == [[point, low, high, n]]
    nothing = page(sample_folder, monkeypatch, "activities", words="no such word")
    assert "No figure has these words" in said(nothing)
