"""The Portfolio page says what the result holds, of the whole and of what is chosen."""

import re
from pathlib import Path

import pytest

from tests import portfolios
from tests.dashboard.pages import one, page, said


def test_the_portfolio_page_counts_what_the_result_holds(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(sample_folder, monkeypatch))
    items, buildings = one(sample_result, "select count(*), count(distinct building_ref) from items where act_now")
    (present,) = one(sample_result, "select count(*) from items where status not in ('removed', 'not_detected')")
    known, possible = one(
        sample_result, "select sum(exceedances_known), sum(exceedances_possible) from building_ranking"
    )
    (properties,) = one(sample_result, "select count(*) from properties")
    (seen,) = one(
        sample_result,
        "select count(distinct property_ref) from entries as e where identification <> 'no_access' "
        "and not exists (from doubts as d where e.path = d.path and e.sheet is not distinct from d.sheet "
        "and e.row_number = d.row_number and d.reason like '%was not surveyed by it%')",
    )
    assert f"{items:,} items in {buildings:,} buildings need action now." in text
    assert f"{properties - seen:,} properties of {properties:,}" in text
    assert f"{known:,.0f} at {present:,} recorded items and {possible:,.0f} at what was never looked for" in text
    low, high, least, most = one(sample_result, "from portfolio_ranges")
    assert f"(90 % range {low:,.0f} to {high:,.0f})" in text
    (controlled,) = one(sample_result, "select sum(exceedances_controlled) from building_ranking")
    assert f"With good practice {controlled:,.0f} (90 % range {least:,.0f} to {most:,.0f}) remain." in text
    assert "the truth is likelier to lie above them than below" in text
    assert "as of 1 Oct 2026" in text


def test_the_portfolio_page_of_an_area_counts_its_own(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    area, urgent = one(
        sample_result,
        "select area, count(distinct building_ref) from items inner join buildings using (building_ref) "
        "where act_now group by area order by count(*) desc, area",
    )
    (buildings,) = one(sample_result, f"select count(*) from buildings where area = '{area}'")
    app = page(sample_folder, monkeypatch, area=area)
    assert f"of {buildings:,} buildings ({urgent:,} with something to act on now)" in said(app)


def test_the_portfolio_page_ranks_by_exposure_with_ranges(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reason, low, high = one(
        sample_result,
        "select exposure_reason, rank_low, rank_high from building_ranking where rank_by_exposure = 1",
    )
    text = said(page(sample_folder, monkeypatch, by="exposure"))
    assert f"{reason}." in text
    place = f"{low}–{high}" if low < high else str(low)
    assert f'<span class="rank">{place}</span>' in text


def test_the_list_by_score_shows_the_total_that_it_is_ordered_by(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    totals = portfolios.ask(
        sample_result, "select worst_total, worst_total_is_sure from building_ranking order by rank limit 40"
    )
    shown = re.findall(r'<span class="chip [^>]*>([^<]*)</span>', said(page(sample_folder, monkeypatch)))
    assert shown[:40] == [f"{total}" if is_sure else f"≤{total}" for total, is_sure in totals]


def test_a_filtered_page_speaks_of_what_is_chosen_with_its_range(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen = "building_parts where product = 'textured_coating' and work_type = 'demolition'"
    (most,) = one(
        sample_result, f"select figure(max(x)) from (select sum(exceedances) as x from {chosen} group by building_ref)"
    )
    (buildings,) = one(sample_result, f"select count(distinct building_ref) from {chosen}")
    app = page(sample_folder, monkeypatch, by="exposure", product="textured coating", work_type="Demolition")
    text = said(app)
    assert f"of {buildings:,} buildings" in text
    assert "places have none" in text
    reasons = re.findall(r'<span class="why">([^<]*)</span>', text)
    assert reasons[0].startswith("Under 0.0001" if most == "under 0.0001" else f"{most} exceedances")
    assert len(reasons) > 10
    assert all("at possible textured coating" in reason or "at textured coating" in reason for reason in reasons)
    assert all("demolishing" in reason and reason.count("; ") < 2 for reason in reasons)
    ranged = [reason for reason in reasons if not reason.startswith("Under")]
    assert all(re.search(r"^\S+ exceedances? a year \(90 % range [^)]+\), most from", reason) for reason in ranged)


def test_where_a_part_is_listed_the_headline_says_that_it_is_of_the_whole(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "<h1>Whole portfolio: " in said(page(sample_folder, monkeypatch, area="Merrowhythe"))
    assert "Whole portfolio" not in said(page(sample_folder, monkeypatch))
