"""The command `rank` prints what the tables hold, in the order that was asked for."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pipelines.cli import app
from tests import portfolios

# What is ranked: its table and the column by which both sides name a thing.
OF = {
    "buildings": ("building_ranking", "building_ref", "building_ref"),
    "items": ("item_ranking", "item_id", "item_id"),
    "areas": ("area_ranking", "area", "name"),
}
ORDER = {"score": "rank", "exposure": "rank_by_exposure"}
TOP = 40


@pytest.mark.parametrize("by", ORDER)
@pytest.mark.parametrize("of", OF)
def test_the_printed_ranking_is_that_of_the_table(of: str, by: str, sample_folder: Path, sample_result: Path) -> None:
    table, key, printed_key = OF[of]
    arguments = ["rank", str(sample_folder), "--of", of, "--by", by, "--top", str(TOP), "--format", "json"]
    result = CliRunner().invoke(app, arguments)
    assert result.exit_code == 0, result.output
    printed = [
        (row[printed_key], row["rank"], row["rank_by_exposure"], row["why"]) for row in json.loads(result.output)
    ]
    held = portfolios.ask(
        sample_result,
        f"select {key}, rank, rank_by_exposure, why from {table} order by {ORDER[by]} limit {TOP}",
    )
    assert len(printed) > 5
    assert printed == held


@pytest.mark.parametrize("of", OF)
def test_both_orders_number_everything_once(of: str, sample_result: Path) -> None:
    table = OF[of][0]
    for column in ORDER.values():
        ranks = [rank for (rank,) in portfolios.ask(sample_result, f"select {column} from {table} order by {column}")]
        assert ranks == list(range(1, len(ranks) + 1))


def test_by_exposure_the_most_exposed_comes_first(sample_result: Path) -> None:
    for table, exceedances in (
        ("building_ranking", "exceedances_known + exceedances_possible"),
        ("area_ranking", "exceedances_known + exceedances_possible"),
        ("item_ranking", "exceedances"),
    ):
        figures = [
            figure
            for (figure,) in portfolios.ask(
                sample_result,
                f"select round({exceedances}, 9) from {table} order by rank_by_exposure",
            )
        ]
        assert figures == sorted(figures, reverse=True)


def test_by_score_what_cannot_wait_comes_first(sample_result: Path) -> None:
    urgent = [
        act_now
        for (act_now,) in portfolios.ask(
            sample_result, "select act_now from item_ranking inner join items using (item_id) order by rank"
        )
    ]
    assert urgent[0]
    assert urgent == sorted(urgent, reverse=True)
