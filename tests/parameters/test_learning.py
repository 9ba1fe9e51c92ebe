"""What job lists and surveys teach, tried on landlords whose truth is known because it was drawn as the model says."""

from collections.abc import Callable, Iterator

import numpy as np
import pandas as pd
import pytest

from pipelines.parameters import NINETY, learn_rates, learn_shares

PORTFOLIOS = range(20)
FACTOR = 2.0
DEFAULT_RATE = 0.4


def landlord(seed: int) -> tuple[np.random.Generator, int, float, float]:
    """Chance, number of cells (30 to 60), the landlord's factor on the default, and the spread between cells."""
    chance = np.random.default_rng([20261001, seed])
    cells = int(chance.integers(30, 61))
    factor = float(np.exp(np.log(FACTOR) / NINETY * chance.standard_normal()))
    spread = float(np.exp(chance.uniform(np.log(0.5), np.log(100))))
    return chance, cells, factor, spread


def rates_drawn(seed: int) -> tuple[pd.DataFrame, np.ndarray]:
    """Counts of jobs by cell, and the true rates behind them."""
    chance, cells, factor, spread = landlord(seed)
    truth = chance.gamma(spread, DEFAULT_RATE * factor / spread, cells)
    years = chance.uniform(2, 200, cells)
    frame = pd.DataFrame({"n": chance.poisson(truth * years), "property_years": years})
    return frame.assign(default_rate=DEFAULT_RATE, uncertainty_factor=FACTOR), truth


def shares_drawn(seed: int) -> tuple[pd.DataFrame, np.ndarray]:
    """Surveyed homes and finds by archetype, and the true shares behind them."""
    chance, cells, factor, spread = landlord(seed)
    default = chance.uniform(0.02, 0.5, cells)
    share = np.minimum(default * factor, 0.98)
    truth = chance.beta(spread * share, spread * (1 - share))
    n = chance.integers(0, 60, cells)
    frame = pd.DataFrame({"n": n, "found": chance.binomial(n, truth), "default_share": default})
    return frame.assign(uncertainty_factor=FACTOR), truth


def hits(
    drawn: Callable[[int], tuple[pd.DataFrame, np.ndarray]], learn: Callable[[pd.DataFrame], pd.DataFrame]
) -> Iterator[bool]:
    """Whether each 90 % interval holds the truth, over all cells of all landlords."""
    for seed in PORTFOLIOS:
        cells, truth = drawn(seed)
        learned = learn(cells)
        yield from (learned["low"] <= truth) & (truth <= learned["high"])


def test_nine_in_ten_intervals_of_rates_hold_the_truth() -> None:
    found = list(hits(rates_drawn, learn_rates))
    assert len(found) > 600
    assert 0.87 <= np.mean(found) <= 0.93, f"covered {np.mean(found):.3f}"


def test_nine_in_ten_intervals_of_presence_hold_the_truth() -> None:
    found = list(hits(shares_drawn, learn_shares))
    assert len(found) > 600
    assert 0.87 <= np.mean(found) <= 0.93, f"covered {np.mean(found):.3f}"


def counts(n: list[int], years: list[float]) -> pd.DataFrame:
    frame = pd.DataFrame({"n": n, "property_years": years})
    return frame.assign(default_rate=DEFAULT_RATE, uncertainty_factor=FACTOR)


def test_a_cell_without_years_keeps_the_landlords_mean() -> None:
    # Thirty areas alike at 0.8 a year, twice the default: so is the mean, and so is the area without any years.
    learned = learn_rates(counts([80] * 30 + [0], [100.0] * 30 + [0.0]))
    nothing, known = learned.iloc[-1], learned.iloc[0]
    assert known["point"] == pytest.approx(0.8, rel=0.02)
    assert nothing["point"] == pytest.approx(0.8, rel=0.05)
    assert nothing["low"] < known["low"] < known["high"] < nothing["high"]


def test_cells_with_few_years_lie_between_their_own_count_and_the_landlords_mean() -> None:
    # Thirty areas at 0.4 a year; two more at 1.2, the one known from 5 years, the other from 50.
    learned = learn_rates(counts([40] * 30 + [6, 60], [100.0] * 30 + [5.0, 50.0]))
    few, many = learned["point"].iloc[-2], learned["point"].iloc[-1]
    assert 0.4 < few < many < 1.2


def test_without_any_counts_the_default_and_its_range_stay() -> None:
    learned = learn_rates(counts([0], [0.0])).iloc[0]
    # The mean of a lognormal of factor 2 lies 1.093 times above its middle; cells spread about it besides.
    assert learned["point"] == pytest.approx(DEFAULT_RATE * np.exp((np.log(FACTOR) / NINETY) ** 2 / 2), rel=0.01)
    assert learned["low"] <= DEFAULT_RATE / FACTOR
    assert learned["high"] >= DEFAULT_RATE * FACTOR


def test_no_jobs_in_many_years_lower_a_rate_but_never_to_nothing() -> None:
    learned = learn_rates(counts([0] * 3, [100.0] * 3))
    assert (learned["point"] > 0).all()
    assert (learned["point"] < DEFAULT_RATE / 4).all()


def test_an_archetype_nobody_surveyed_takes_the_default_as_the_others_mend_it() -> None:
    # Thirty archetypes with 20 % where the default says 10 %: the one without surveys is expected at about 20 % too.
    frame = pd.DataFrame({"n": [50] * 30 + [0], "found": [10.0] * 30 + [0.0]})
    learned = learn_shares(frame.assign(default_share=0.1, uncertainty_factor=FACTOR))
    assert learned["point"].iloc[-1] == pytest.approx(0.2, rel=0.1)
    assert learned["point"].iloc[0] == pytest.approx(0.2, rel=0.05)


def test_every_range_holds_its_point_and_no_share_passes_one() -> None:
    for seed in PORTFOLIOS:
        rates, shares = learn_rates(rates_drawn(seed)[0]), learn_shares(shares_drawn(seed)[0])
        for learned in (rates, shares):
            assert ((learned["low"] <= learned["point"]) & (learned["point"] <= learned["high"])).all()
        assert (shares["high"] <= 1).all()


def test_ends_too_far_to_be_found_are_near_one_and_just_above_nothing() -> None:
    # Nobody surveyed, and defaults at either end with a wide factor: Beta's ends then lie beyond what is sought.
    frame = pd.DataFrame({"n": [0, 0], "found": [0.0, 0.0], "default_share": [0.98, 1e-6]})
    learned = learn_shares(frame.assign(uncertainty_factor=10.0))
    often, seldom = learned.iloc[0], learned.iloc[1]
    assert often["point"] < 0.9
    assert 0.999 < often["high"] <= 1
    assert 0 < seldom["low"] < 1e-9 < seldom["point"]
    rate = learn_rates(counts([0], [1e9]).assign(default_rate=1e-6, uncertainty_factor=10.0)).iloc[0]
    assert 0 < rate["low"] <= rate["point"] <= rate["high"]


def test_the_order_of_cells_changes_nothing() -> None:
    for cells, learn in ((rates_drawn(3)[0], learn_rates), (shares_drawn(3)[0], learn_shares)):
        backwards = learn(cells[::-1]).sort_index()
        pd.testing.assert_frame_equal(learn(cells), backwards, rtol=1e-9)
