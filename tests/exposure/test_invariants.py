"""What holds for the exposure of any home, each fact in homes of one tiny portfolio."""

from pathlib import Path
from typing import Any

import pytest

from tests import portfolios
from tests.exposure.homes import HOMES


@pytest.fixture(scope="module")
def figures(built: Path) -> dict[str, tuple[Any, ...]]:
    """Known, possible, low, high and controlled exceedances of each home; a house is its own building."""
    rows = portfolios.ask(
        built,
        "select building_ref, exceedances_known, exceedances_possible, exceedances_low, exceedances_high, "
        "exceedances_controlled from building_ranking",
    )
    return {name: tuple(row) for name in HOMES for ref, *row in rows if ref == name}


def present(built: Path, name: str) -> dict[str, float]:
    """The chance that each product of a home is asbestos."""
    return dict(
        portfolios.ask(
            built,
            "select product, p_present from item_presence inner join items using (item_id) "
            f"where items.property_ref = '{name}'",
        )
    )


@pytest.mark.parametrize("split", ["SPLIT", "SPLIT BY WORDS"])
def test_splitting_a_row_into_rows_that_share_its_extent_changes_nothing(
    split: str, figures: dict[str, tuple[Any, ...]]
) -> None:
    assert figures["WHOLE"][0] > 0.01
    assert figures[split] == pytest.approx(figures["WHOLE"], rel=1e-9)


@pytest.mark.parametrize("reworded", ["REWORDED", "HALVES"])
def test_rewording_rooms_changes_nothing(reworded: str, figures: dict[str, tuple[Any, ...]]) -> None:
    assert figures["ROOMS"][0] > 0.01
    assert figures[reworded] == pytest.approx(figures["ROOMS"], rel=1e-9)


def test_the_chance_of_asbestos_follows_the_evidence(built: Path) -> None:
    # Of presumed board of this kind 60 % is asbestos (judgement, no published source); strongly presumed lies halfway
    # from there to certain; not detected keeps 0.02 (judgement).
    assert present(built, "IDENTIFIED") == {"insulating_board": 1}
    assert present(built, "STRONGLY") == {"insulating_board": pytest.approx(0.8)}
    assert present(built, "PRESUMED") == {"insulating_board": pytest.approx(0.6)}
    assert present(built, "CLEAR") == {"insulating_board": pytest.approx(0.02)}


def test_the_chance_of_asbestos_follows_the_year(built: Path) -> None:
    # Built 1986 to 1999: a fifth, cement half (judgement); of presumed cement flues 90 % are asbestos (judgement).
    assert present(built, "LATER") == {
        "insulating_board": pytest.approx(0.6 * 0.2),
        "asbestos_cement": pytest.approx(0.9 * 0.5),
    }
    assert present(built, "NO YEAR") == {"insulating_board": pytest.approx(0.6)}
    assert present(built, "NEW") == {"insulating_board": 0}
    assert present(built, "NEW FOUND") == {"insulating_board": 1}


def test_exposure_of_the_same_board_goes_by_its_chance_of_being_asbestos(figures: dict[str, tuple[Any, ...]]) -> None:
    known = {name: figures[name][0] for name in ("STRONGLY", "PRESUMED", "CLEAR", "NO YEAR", "NEW")}
    shares = {name: figure / figures["IDENTIFIED"][0] for name, figure in known.items()}
    assert shares == pytest.approx({"STRONGLY": 0.8, "PRESUMED": 0.6, "CLEAR": 0.02, "NO YEAR": 0.6, "NEW": 0})


def test_damage_or_easier_reach_raise_exposure(figures: dict[str, tuple[Any, ...]]) -> None:
    assert figures["DAMAGED"][0] > figures["IDENTIFIED"][0]
    assert figures["REACHED"][0] > figures["IDENTIFIED"][0]


@pytest.mark.parametrize("name", ["OLD UNSEEN", "UNSEEN", "LATE UNSEEN", "NO YEAR UNSEEN"])
def test_no_home_built_before_2000_and_never_surveyed_comes_out_at_nothing(
    name: str, figures: dict[str, tuple[Any, ...]]
) -> None:
    known, possible, low, high, _ = figures[name]
    assert known == 0
    assert 0 < low <= possible <= high


def test_a_home_built_from_2000_has_no_possible_exposure(figures: dict[str, tuple[Any, ...]], built: Path) -> None:
    assert figures["NEW UNSEEN"] == (0, 0, 0, 0, 0)
    assert figures["NEW FOUND"][1] == 0
    assert portfolios.ask(built, "select * from possible_items where property_ref like 'NEW%'") == []


def test_surveyed_homes_have_nothing_possible_but_behind_doors_not_opened(figures: dict[str, tuple[Any, ...]]) -> None:
    assert {name: figures[name][1] for name in HOMES if HOMES[name][1]} == {name: 0 for name in HOMES if HOMES[name][1]}
