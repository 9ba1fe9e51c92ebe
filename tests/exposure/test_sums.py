"""Exposure adds up: items to buildings and areas, kinds of work and pairs to the same, in tiny homes and the sample."""

import re
from pathlib import Path

import pandas as pd
import pytest

from tests import portfolios
from tests.exposure.homes import databases


def test_items_sum_to_buildings_and_buildings_to_areas(built: Path, sample_result: Path) -> None:
    for database in databases(built, sample_result):
        by_building, by_area = (
            portfolios.ask(database, question)
            for question in (
                "select b.exceedances_known, coalesce(i.known, 0), b.exceedances_possible, coalesce(p.possible, 0), "
                "b.exceedances_controlled, coalesce(i.controlled, 0) + coalesce(p.controlled, 0) "
                "from building_ranking as b left join (select building_ref, sum(exceedances_per_year) as known, "
                "sum(exceedances_controlled) as controlled from exposures "
                "inner join items using (item_id, property_ref) "
                "group by building_ref) as i on b.building_ref = i.building_ref "
                "left join (select building_ref, sum(exceedances) as possible, "
                "sum(exceedances_controlled) as controlled "
                "from possible_exposures inner join properties using (property_ref) group by building_ref) as p "
                "on b.building_ref = p.building_ref",
                "select a.exceedances_known, b.known, a.exceedances_possible, b.possible, a.exceedances_controlled, "
                "b.controlled from area_ranking as a inner join (select area, sum(exceedances_known) as known, "
                "sum(exceedances_possible) as possible, sum(exceedances_controlled) as controlled "
                "from building_ranking inner join buildings using (building_ref) group by area) as b "
                "on a.area = b.area",
            )
        )
        for rows in (by_building, by_area):
            table = pd.DataFrame(rows)
            assert len(table) > 0
            assert table[0].to_numpy() == pytest.approx(table[1].to_numpy(), abs=1e-9)
            assert table[2].to_numpy() == pytest.approx(table[3].to_numpy(), abs=1e-9)
            assert table[4].to_numpy() == pytest.approx(table[5].to_numpy(), abs=1e-9)


def test_kinds_of_work_and_pairs_sum_to_the_same_as_buildings(built: Path, sample_result: Path) -> None:
    for database in databases(built, sample_result):
        ((all_known, all_possible),) = portfolios.ask(
            database, "select sum(exceedances_known), sum(exceedances_possible) from building_ranking"
        )
        by_work = portfolios.ask(
            database,
            "select sum(exceedances) filter (where not is_possible), sum(exceedances) filter (where is_possible) "
            "from building_parts",
        )
        by_pair = portfolios.ask(database, "select sum(exceedances) from work_pairs")
        assert by_work[0] == pytest.approx((all_known, all_possible), rel=1e-9)
        assert by_pair[0][0] == pytest.approx(all_known + all_possible, rel=1e-9)


def test_the_parts_of_buildings_are_the_sums_of_their_exposures(built: Path, sample_result: Path) -> None:
    for database in databases(built, sample_result):
        parts = portfolios.ask(
            database,
            "select building_ref, contact_code, product, work_type, sum(exceedances) from building_parts "
            "where not is_possible group by all order by all",
        )
        items = portfolios.ask(
            database,
            "select i.building_ref, i.contact_code, i.product, e.work_type, sum(e.exceedances_per_year) as x "
            "from exposures as e inner join items as i using (item_id, property_ref) "
            "group by all having x > 1e-9 order by all",
        )
        held = {tuple(key): value for *key, value in parts}
        assert {tuple(key): held[tuple(key)] for *key, _ in items} == {
            tuple(key): pytest.approx(value, rel=1e-6, abs=1e-12) for *key, value in items
        }


NAMED = re.compile(r"(?:, most from |; )(.+?) at (possible )?([^()]+) \(([^()]+)\)")


def test_a_reason_names_single_pairs_with_their_own_figures(built: Path, sample_result: Path) -> None:
    for database in databases(built, sample_result):
        sums = {
            (building, work, material, possible): figure
            for building, work, material, possible, figure in portfolios.ask(
                database,
                "select building_ref, within(w.in_words), k.short, is_possible, figure(sum(exceedances)) "
                "from building_parts "
                "inner join reference.work_types as w using (work_type) "
                "inner join reference.contact_codes as k using (contact_code) group by all",
            )
        }
        named = 0
        for building, reason in portfolios.ask(
            database, "select building_ref, exposure_reason from building_ranking where exceedances_known > 0.001"
        ):
            for work, possible, material, figure in NAMED.findall(reason):
                assert sums[building, work, material, possible != ""] == figure
                named += 1
        assert named > 20


def test_exceedances_are_encounters_times_presence_times_chance(built: Path, sample_result: Path) -> None:
    for database in databases(built, sample_result):
        broken = portfolios.ask(
            database,
            "select * from exposures where "
            "abs(exceedances_per_year - encounters_per_year * p_present * p_over_control_limit) > 1e-15 "
            "or abs(exceedances_controlled - encounters_per_year * p_present "
            "* coalesce(p_over_control_limit_controlled, p_over_control_limit)) > 1e-15",
        )
        assert broken == []
