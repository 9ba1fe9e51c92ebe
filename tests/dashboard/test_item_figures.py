"""The figures of an item on the Building page can be worked out again from what the page says of them."""

import re
from math import log, sqrt
from pathlib import Path
from statistics import NormalDist

import pytest

from dashboard import parts
from tests import portfolios
from tests.dashboard.pages import number, one, page, said, tables, unfold


def test_what_was_never_looked_for_stands_with_its_chance_and_exposure_and_their_ranges(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building_ref, rows = one(
        sample_result,
        "select building_ref, count(*) from building_ranking inner join properties using (building_ref) "
        "inner join possible_exposures using (property_ref) where items = 0 and properties = 1 group by all "
        "order by max(exceedances_possible) desc, building_ref limit 1",
    )
    app = page(sample_folder, monkeypatch, "building", building=building_ref)
    (shown,) = (body for head, body in tables(app) if head[-2:] == ["Exceedances a year, uncontrolled", "Basis"])
    assert len(shown) == rows > 5
    listed = portfolios.ask(
        sample_result,
        "select p_present, p_low, p_high, exceedances, exceedances_low, exceedances_high "
        "from possible_items inner join possible_exposures using (property_ref, contact_code, place) "
        f"where property_ref = '{building_ref}' order by p_present desc, contact_code, place",
    )
    for row, (chance, low, high, exceedances, least, most) in zip(shown, listed, strict=True):
        assert row[2] == f"{parts.percentage(chance)} ({parts.percentage(low)} to {parts.percentage(high)})"
        said = [parts.figure(figure) for figure in (exceedances, least, most)]
        assert row[3] == (f"{said[0]} ({said[1]} to {said[2]})" if len(set(said)) > 1 else said[0])


def test_the_exposure_of_an_item_can_be_recomputed_from_what_its_page_says(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (building_ref,) = one(
        sample_result,
        "select i.building_ref from items as i inner join building_ranking as b using (building_ref) "
        "where i.identification = 'presumed' and i.status = 'present' and b.properties = 1 and b.items > 1 "
        "order by b.rank limit 1",
    )
    app = unfold(page(sample_folder, monkeypatch, "building", building=building_ref), "Who may disturb it")
    chances = [number(text) for text in re.findall(r"Chance of being there: ([^<]*)", said(app))]
    found = tables(app)
    shown = [rows for head, rows in found if head[-1] == "Exceedances a year, with control"]
    rested = [rows for head, rows in found if head[-1] == "Minutes"]
    assert len(chances) == len(shown) == len(rested) >= 2
    assert min(chances) < 1
    for chance, exposures, bases in zip(chances, shown, rested, strict=True):
        for exposure, (_, rate, contact, reach, share, touched, release, minutes) in zip(exposures, bases, strict=True):
            encounters = number(rate) * (1 - (1 - number(contact)) ** number(reach)) * number(share)
            assert encounters == pytest.approx(number(touched), rel=0.02)
            gm, gsd, factor = (number(text) for text in release.split(";")[:3])
            spread = sqrt(log(gsd) ** 2 + (log(factor) / 1.645) ** 2)
            over = NormalDist().cdf((log(gm * min(number(minutes), 240) / 240) - log(0.1)) / spread)
            if exposure[-2].startswith("<"):
                assert encounters * chance * over < 0.0001
            else:
                assert encounters * chance * over == pytest.approx(number(exposure[-2]), rel=0.07)


def test_what_goes_on_all_year_is_told_from_events_and_no_two_columns_are_called_alike(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_use, without = (
        one(
            sample_result,
            "select building_ref, property_ref, item_id from exposures inner join items using (property_ref, item_id) "
            "where status = 'present' group by all "
            f"having bool_or(work_type = 'ordinary_use') = {is_used} order by all limit 1",
        )
        for is_used in ("true", "false")
    )
    for (building_ref, property_ref, item_id), notices in ((in_use, 1), (without, 0)):
        where = {"building": building_ref, "property": property_ref, "item": item_id}
        app = unfold(page(sample_folder, monkeypatch, "building", **where), "Who may disturb it")
        ((head, rows),) = ((head, rows) for head, rows in tables(app) if head[-1] == "Exceedances a year, with control")
        assert len(set(head)) == len(head)
        assert sum("(occupant, all year)" in row[0] for row in rows) == notices
        assert said(app).count("Do not read them as like for like") == notices
        cells = re.findall(r"<t[hd] class=\"(\w+)\"[ >]", said(app)[said(app).index("Touched, times a year") :])
        assert cells[: 9 + 6] == ["number"] * 6 + ["written"] * 2 + ["number"] * 7


def test_the_priority_score_of_an_item_can_be_recomputed_from_what_its_page_says(
    sample_folder: Path, sample_result: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (building_ref,) = one(sample_result, "select building_ref from building_ranking where rank = 1")
    found = tables(unfold(page(sample_folder, monkeypatch, "building", building=building_ref), "Priority score"))
    factors = [rows for head, rows in found if head[:2] == ["Group", "Factor"]]
    averages = [rows for head, rows in found if head[:2] == ["Group", "Average"]]
    assert len(factors) == len(averages) >= 1
    for ten, (*four, total) in zip(factors, averages, strict=True):
        assert (len(ten), len(four)) == (10, 4)
        for group, average, rounded, _ in four:
            scores = [int(score) for of, _, score, *_ in ten if of == group]
            assert average == f"{sum(scores)} / {len(scores)} = {sum(scores) / len(scores):.3g}"
            assert int(rounded) == -(-sum(scores) // len(scores))  # rounded up, as the sample is built
        assert int(total[2]) == sum(int(row[2]) for row in four)
