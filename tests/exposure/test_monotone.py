"""More often, or touched more surely: exposure rises, and only where that work meets that material."""

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from tests import portfolios

OWN = ("Name", "Work Type", "Contact Code", "Task", "Point")
BOARD, COATING = {"Material": "AIB"}, {"Material": "Textured coating", "Location": "Lounge"}
# A parameter by its keys, and rising values of it; the middle ones are about the defaults (judgement).
RISING = {
    "rate": (("rate", "rewire", "", ""), ("0.005", "0.033", "0.2")),
    "contact": (("contact", "rewire", "TC", "take_down"), ("0.1", "0.25", "0.6")),
}


def figures(folder: Path, own: tuple[str, ...]) -> tuple[dict[str, tuple[float, ...]], dict[tuple[str, ...], float]]:
    """Of a home surveyed and of one that never was: all exceedances with their range; and those of each pair of work
    and material."""
    stock = [home | {"Dwelling Type": "House"} for home in portfolios.HOMES]
    register = [portfolios.row(Location="Kitchen", **BOARD), portfolios.row(**COATING)]
    portfolios.write(folder, {"register.csv": register}, stock)
    (folder / "parameters").mkdir()
    with (folder / "parameters" / "own.csv").open("w", encoding="utf-8", newline="") as opened:
        csv.writer(opened).writerows((OWN, own))
    database = portfolios.build(folder)
    sums = portfolios.ask(
        database,
        "select building_ref, exceedances_known + exceedances_possible, exceedances_low, exceedances_high, "
        "exceedances_controlled from building_ranking",
    )
    pairs = portfolios.ask(
        database, "select building_ref, work_type, contact_code, sum(exceedances) from building_parts group by all"
    )
    return {ref: tuple(row) for ref, *row in sums}, {tuple(keys): sum_ for *keys, sum_ in pairs}


@pytest.mark.parametrize("name", RISING)
def test_exposure_rises_with_rates_and_contacts_and_nothing_else_moves(name: str, tmp_path: Path) -> None:
    keys, values = RISING[name]
    built = [figures(tmp_path / value, (*keys, value)) for value in values]
    for (sums, pairs), (more_sums, more_pairs) in pairwise(built):
        for ref in ("H1", "H3"):
            assert all(more > less for less, more in zip(sums[ref], more_sums[ref], strict=True))
        assert pairs.keys() == more_pairs.keys()
        raised = {pair for pair in pairs if more_pairs[pair] > pairs[pair] * (1 + 1e-9)}
        moved = {pair for pair in pairs if more_pairs[pair] != pytest.approx(pairs[pair], rel=1e-9)}
        assert raised == moved
        assert {work for _, work, _ in raised} == {"rewire"}
        if name == "contact":
            assert {code for _, _, code in raised} == {"TC"}
