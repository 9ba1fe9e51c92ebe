"""The Activities page says what the result holds of works and of the figures behind them."""

import json
import re
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
    assert f"All activities together come to {total:,.0f} exceedances of the control limit a year" in said(app)
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


def test_an_activity_has_one_name_everywhere(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    names = {name for (name,) in portfolios.ask(sample_result, "select in_words from reference.work_types")}
    within = {name[0].lower() + name[1:] for name in names}
    reasons = portfolios.ask(sample_result, "select exposure_reason from building_ranking order by rank limit 100")
    named = {pair.partition(" at ")[0] for (said_,) in reasons for pair in said_.partition("most from ")[2].split("; ")}
    assert named - {""} <= within
    app = page(sample_folder, monkeypatch, "activities")
    first, second = re.findall(r"<h1>(.*?), then (.*?): ", said(app))[0]
    assert (first in names, second in within) == (True, True)
    (bars, _) = json.loads(app.get("plotly_chart")[0].proto.spec)["data"]
    assert {name.replace("<br>", " ").removesuffix(" (occupant)") for name in bars["y"]} <= names


def test_every_table_of_the_activities_page_can_be_taken_away_whole(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (pairs,) = one(sample_result, "select count(distinct (work_type, contact_code)) from work_pairs")
    app = page(sample_folder, monkeypatch, "activities")
    assert f"The first 15 of {pairs:,} pairs." in said(app)
    labels = [button.proto.label for button in app.get("download_button")]
    assert {"All pairs as csv", "All of these figures as csv"} <= set(labels)
