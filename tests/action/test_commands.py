"""The command `rank` prints what the tables hold, in the order that was asked for."""

import json
import re
from pathlib import Path

import pandas as pd
import pytest
from rich.console import Console
from typer.testing import CliRunner

from pipelines import printing
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


@pytest.mark.parametrize("by", ORDER)
@pytest.mark.parametrize("of", OF)
def test_the_printed_table_numbers_by_the_order_asked_for_and_says_how_sure(
    of: str, by: str, sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(printing, "out", Console(width=100_000, highlight=False))
    asked = ["rank", str(sample_folder), "--of", of, "--by", by, "--top", "5"]
    held = json.loads(CliRunner().invoke(app, [*asked, "--format", "json"]).output)
    result = CliRunner().invoke(app, asked)
    assert result.exit_code == 0, result.output
    title, *lines = [line.strip() for line in result.output.splitlines()]
    assert ("exposure" in title) == (by == "exposure")
    for nth, row in enumerate(held):
        name, first, second = lines[3 * nth : 3 * nth + 3]
        assert re.split(r"\s+", name, maxsplit=1) == [str(nth + 1), row["name_in_area"]]
        score, exposure = (second, first) if by == "exposure" else (first, second)
        place = f"Number {row['rank_by_exposure']:,} of all {of} by exposure"
        if of != "items":
            place += f" (90 % range {row['rank_low']:,} to {row['rank_high']:,}; group {row['rank_group']:,})"
        assert score == f"{row['score_reason']}."
        assert exposure == f"{row['exposure_reason']}. {place}."
    assert result.output.count("An exceedance is ") == 1
    assert "All together: " in result.output


def test_only_what_can_be_mended_is_listed_to_mend(capsys: pytest.CaptureFixture[str]) -> None:
    reasons = pd.DataFrame(
        {
            "n_rows": [1200, 30, 2, 40],
            "n_whole": [0, 0, 0, 3],
            "in_short": [
                "cancelled jobs: nothing to do",
                "rows that name no property: fill in",
                "totals rows: nothing",
                "sheets without a heading row: name the columns",
            ],
            "to_mend": [False, True, False, True],
        }
    )
    printing._to_mend(reasons)
    mend, *rest = capsys.readouterr().out.partition("Nothing to do about")
    assert "30 rows that name no property: fill in" in mend
    assert "40 in sheets without a heading row (3): name the columns" in mend
    assert "cancelled" not in mend
    said = " ".join("".join(rest).split())
    assert said == "Nothing to do about 1,202 more: 1,200 cancelled jobs, 2 totals rows."


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
