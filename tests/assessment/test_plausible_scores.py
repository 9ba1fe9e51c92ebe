"""Scores of the sample of a size that people of the trade expect; every range is judgement, no published source."""

from pathlib import Path

import pytest

from tests import portfolios

IN_RANKING = "status not in ('removed', 'not_detected')"


def test_priority_scores_in_homes_are_nearly_flat(sample_result: Path) -> None:
    # 3 to 7, and under 1 % above 8. Averages are rounded up by default, which brings cupboards with stored goods to 8.
    ((items, at_most_7, above_8, below_3),) = portfolios.ask(
        sample_result,
        "select count(*), count(*) filter (where priority_score <= 7), count(*) filter (where priority_score > 8), "
        "count(*) filter (where priority_score < 3) from items inner join properties using (property_ref) "
        f"where part = 'home' and {IN_RANKING}",
    )
    assert items > 1000
    assert at_most_7 / items > 0.70
    assert above_8 / items < 0.01
    assert below_3 == 0


def test_nearly_all_totals_lie_between_5_and_13(sample_result: Path) -> None:
    ((share,),) = portfolios.ask(
        sample_result,
        "select count(*) filter (where total_score between 5 and 13) / count(*) from items "
        f"where total_score is not null and {IN_RANKING}",
    )
    assert share == pytest.approx(0.95, abs=0.025)


def test_only_lagging_spray_or_damaged_board_total_more_than_16(sample_result: Path) -> None:
    assert (
        portfolios.ask(
            sample_result,
            f"select item_id, product, damage_score, total_score from items where total_score > 16 and {IN_RANKING} "
            "and product not in ('thermal_insulation', 'sprayed_coating') "
            "and not (product in ('insulating_board', 'other') and damage_score >= 2)",
        )
        == []
    )
