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
    homes, premises, homes_seen, premises_seen = one(
        sample_result,
        "select count(*) filter (where part = 'home'), count(*) filter (where part <> 'home'), "
        "count(*) filter (where part = 'home' and is_seen), count(*) filter (where part <> 'home' and is_seen) "
        "from (select part, property_ref in (select property_ref from entries as e where identification <> 'no_access' "
        "and not exists (from doubts as d where e.path = d.path and e.sheet is not distinct from d.sheet "
        "and e.row_number = d.row_number and d.reason like '%was not surveyed by it%')) as is_seen from properties)",
    )
    assert f"{items:,} items in {buildings:,} buildings need action now." in text
    assert f"{homes - homes_seen:,} of {homes:,} homes (" in text
    assert f"and {premises - premises_seen:,} of {premises:,} common parts and other premises (" in text
    assert f"{known:,.0f} at {present:,} recorded items and {possible:,.0f} at what was never looked for" in text
    low, high, least, most, mean = one(sample_result, "from portfolio_ranges")
    assert f"(90 % range {low:,.0f} to {high:,.0f})" in text
    (controlled,) = one(sample_result, "select sum(exceedances_controlled) from building_ranking")
    assert f"With good practice {controlled:,.0f} (90 % range {least:,.0f} to {most:,.0f}) remain." in text
    assert "the truth is likelier to lie above them than below" in text
    assert f"Over all that the parameters may be the mean is {mean:,.0f} exceedances a year." in text
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
    assert f"of {buildings:,} buildings; {urgent:,} buildings with something to act on now." in said(app)


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
        sample_result, "select worst_total, worst_has_total from building_ranking order by rank limit 40"
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
    assert all("demolition at" in reason and reason.count("; ") < 2 for reason in reasons)
    ranged = [reason for reason in reasons if not reason.startswith("Under")]
    assert all(re.search(r"^\S+ exceedances? a year \(90 % range [^)]+\), most from", reason) for reason in ranged)


def test_where_a_part_is_listed_the_headline_says_that_it_is_of_the_whole(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "<h1>Whole portfolio: " in said(page(sample_folder, monkeypatch, area="Merrowhythe"))
    assert "Whole portfolio" not in said(page(sample_folder, monkeypatch))


@pytest.fixture(scope="module")
def met(sample_result: Path) -> list[tuple[str, int, int, int]]:
    """The buildings in which a rewire meets a recorded item: worst total, how many items, how many to act on now."""
    return portfolios.ask(
        sample_result,
        "select building_ref, arg_min(r.total_most, r.rank), count(*), count(*) filter (where act_now) "
        "from items inner join item_ranking as r using (item_id) where item_id in "
        "(select item_id from exposures where work_type = 'rewire') group by building_ref",
    )


def test_an_activity_leaves_score_count_and_reason_of_what_it_meets(
    sample_folder: Path, sample_result: Path, met: list[tuple[str, int, int, int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = dict(portfolios.ask(sample_result, "select building_ref, worst_total from building_ranking"))
    assert [ref for ref, total, *_ in met if total < whole[ref]], "the sample has a building where the filter matters"
    text = said(page(sample_folder, monkeypatch, work_type=words_of(sample_result, "rewire")))
    totals = sorted(((urgent > 0, total) for _, total, _, urgent in met), reverse=True)
    shown = re.findall(r'<span class="chip [^>]*>([^<]*)</span>', text)
    assert [int(total.lstrip("≤")) for total in shown[:40]] == [total for _, total in totals[:40]]
    urgent = sum(urgent > 0 for _, _, _, urgent in met)
    assert f"{urgent} buildings with something to act on now." in text
    assert f"{sum(urgent for *_, urgent in met)} items in {urgent} buildings" in text
    assert "counts and marks are of the items that this activity meets alone" in text


def words_of(sample_result: Path, work_type: str) -> str:
    (words,) = one(sample_result, f"select in_words from reference.work_types where work_type = '{work_type}'")
    return str(words)


def test_what_is_only_possible_stands_by_exposure_and_the_page_says_so(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = said(page(sample_folder, monkeypatch, known="possible"))
    assert "What is only possible has no score, so these buildings stand by the exposure expected." in text
    assert "Buildings by expected exposure" in text


def test_what_no_filter_narrows_is_said(sample_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "choose whole buildings" in said(page(sample_folder, monkeypatch, dwelling_type="flat"))
    assert "choose whole buildings" not in said(page(sample_folder, monkeypatch))


def test_the_rule_of_order_is_said_beside_the_list_and_in_the_readme_alike(
    sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (rule,) = re.findall(
        r"(Buildings with something to act on now stand first, .*?\.) ", said(page(sample_folder, monkeypatch))
    )
    readme = " ".join((Path(__file__).parents[2] / "README.md").read_text("utf-8").split())
    assert rule in readme


def test_the_list_goes_on_where_asked_to_and_all_of_it_can_be_taken_away(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (buildings,) = one(sample_result, "select count(*) from buildings")
    app = page(sample_folder, monkeypatch)
    assert said(app).count('<span class="rank">') == 40
    (more,) = [button for button in app.button if button.label.startswith("Show 40 more")]
    assert more.label == f"Show 40 more of {buildings:,}"
    more.click().run()
    assert said(app).count('<span class="rank">') == 80
    assert app.query_params["listed"] == "80"
    assert f"All as csv ({buildings:,} buildings)" in [button.proto.label for button in app.get("download_button")]
    every = page(sample_folder, monkeypatch, listed="999999")
    assert said(every).count('<span class="rank">') == buildings
    assert [button for button in every.button if button.label.startswith("Show")] == []


@pytest.mark.parametrize("asked", ["-1", "²", "1e9", "9" * 40, ""])
def test_an_address_that_asks_for_no_number_of_rows_gets_the_first(
    asked: str, sample_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert said(page(sample_folder, monkeypatch, listed=asked)).count('<span class="rank">') == 40
