"""Ranks: a ranking of ten buildings by hand, and the ranges of ranks that draws disagree about."""

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipelines.exposure import ranges
from tests.conftest import World

# Ten buildings: whether something cannot wait, total score of the worst item (its high end where a part is missing),
# exceedances a year.
TEN: dict[str, tuple[bool, int | None, float]] = {
    "A": (False, 12, 0.30),
    "B": (True, 9, 0.02),
    "C": (False, 17, 0.01),
    "D": (False, 12, 0.31),
    "E": (True, 15, 0.001),
    "F": (False, None, 0.50),
    "G": (False, 8, 0.05),
    "H": (False, 12, 0.30),
    "I": (False, None, 0.0),
    "J": (True, 9, 0.40),
}
# Those that cannot wait first: E with 15, then J and B with 9 each, J the more exposed. Then C with 17; three with 12:
# D 0.31, then A and H alike at 0.30, by reference. G with 8. Last those without items, F before I: it is more exposed.
BY_SCORE = "E J B C D A H G F I"
# 0.50, 0.40, 0.31, 0.30 twice (by reference), 0.05, 0.02, 0.01, 0.001, 0.
BY_EXPOSURE = "F J D A H G B C E I"


def ranged(things: pd.DataFrame, draws: npt.NDArray[np.float64]) -> pd.DataFrame:
    """The ranges of buildings of which control leaves half in every draw."""
    halves = things.assign(exceedances_controlled=things["exceedances"] / 2)
    return ranges._ranges(halves, "building_ref", np.stack([draws, draws / 2]))


def ranges_of_ten() -> pd.DataFrame:
    """The ranges of the ten when every draw is the point: each rank is certain, but for A and H alike."""
    things = pd.DataFrame(
        {"building_ref": list(TEN), "exceedances": [exceedances for _, _, exceedances in TEN.values()]}
    )
    return ranged(things, things["exceedances"].to_numpy()[:, None] * np.ones(20))


def test_ten_buildings_by_exposure_stand_as_worked_by_hand() -> None:
    found = ranges_of_ten().sort_values("rank_by_exposure")
    assert " ".join(found["building_ref"]) == BY_EXPOSURE
    assert list(found["rank_low"]) == [1, 2, 3, 4, 4, 6, 7, 8, 9, 10]
    assert list(found["rank_high"]) == [1, 2, 3, 5, 5, 6, 7, 8, 9, 10]
    # A and H cannot be told apart, so they share a group; everybody else starts a new one.
    assert list(found["rank_group"]) == [1, 2, 3, 4, 4, 5, 6, 7, 8, 9]


def test_ten_buildings_by_score_stand_as_worked_by_hand(world: World) -> None:
    held = {name: total for name, (_, total, _) in TEN.items() if total is not None}
    ranges = ranges_of_ten().set_index("building_ref")["rank_by_exposure"]
    answer = world.answer(
        "action",
        "building_ranking",
        {
            "buildings": [{"building_ref": name, "homes": "1", "properties": "1"} for name in TEN],
            "properties": [{"property_ref": name, "building_ref": name} for name in TEN],
            "items": [
                {"item_id": name.lower(), "building_ref": name, "total_score": str(total)}
                | {"act_now": str(TEN[name][0]).lower()}
                for name, total in held.items()
            ],
            "item_ranking": [
                {"item_id": str(name).lower(), "rank": str(rank), "total_most": str(held[name])}
                for rank, name in enumerate(held, start=1)
            ],
            "building_exposures": [
                {"building_ref": name, "exceedances": str(exceedances)} for name, (_, _, exceedances) in TEN.items()
            ],
            "building_ranges": [
                {"building_ref": str(name), "rank_by_exposure": str(rank)} for name, rank in ranges.items()
            ],
        },
    )
    assert " ".join(answer.sort_values("rank")["building_ref"]) == BY_SCORE
    assert " ".join(answer.sort_values("rank_by_exposure")["building_ref"]) == BY_EXPOSURE
    assert sorted(answer["rank"]) == list(range(1, 11))


def test_a_rank_that_draws_disagree_about_has_a_range_and_one_group() -> None:
    # X is worth 2, Y 1, Z 0.1; in every other draw X and Y change places, so neither is above the other in 90 % of
    # draws, and both are above Z in all.
    things = pd.DataFrame({"building_ref": ["X", "Y", "Z"], "exceedances": [2.0, 1.0, 0.1]})
    found = ranged(things, np.array([[2.0, 1.0] * 10, [1.0, 2.0] * 10, [0.1, 0.1] * 10]))
    columns = ["building_ref", "rank_by_exposure", "rank_low", "rank_high", "rank_group"]
    assert list(found[columns].itertuples(index=False, name=None)) == [
        ("X", 1, 1, 2, 1),
        ("Y", 2, 1, 2, 1),
        ("Z", 3, 3, 3, 2),
    ]


def test_things_that_are_equal_in_every_draw_share_the_range_of_their_ranks() -> None:
    things = pd.DataFrame({"building_ref": list("ABCDE"), "exceedances": [2.0, 1.0, 1.0, 0.0, 0.0]})
    chance = np.random.default_rng(7).uniform(0.5, 0.6, 200)
    found = ranged(things, np.outer(things["exceedances"], chance))
    assert list(found["rank_by_exposure"]) == [1, 2, 3, 4, 5]
    assert list(zip(found["rank_low"], found["rank_high"], strict=True)) == [(1, 1), (2, 3), (2, 3), (4, 5), (4, 5)]
    assert list(found["rank_group"]) == [1, 2, 2, 3, 3]
