"""Every figure that the exposure rests on: defaults, the landlord's own, and what jobs and surveys teach.

Rates and presence are learned by the same routine: a landlord's mean around the default, a spread between areas or
archetypes, both on a grid and weighted by how well they explain the counts; then each cell's own posterior, mixed over
the grid. Plug-in empirical Bayes was turned down because its intervals cover too little.
"""

from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import duckdb
import numpy as np
import numpy.typing as npt
import pandas as pd
from scipy import special
from scipy.optimize import elementwise

from pipelines import queries

Array = npt.NDArray[np.float64]

NINETY = 1.645
MEANS = np.linspace(-5, 5, 41)
SPREADS = np.geomspace(0.5, 100, 15)
LEAST_WEIGHT = 1e-3
MOST_SHARE = 0.98
LEAST_POINT, FARTHEST, TOLERANCE = 1e-12, 15.0, 1e-4
DIGITS = 12
THREADS = 2
RATE_KEYS = ["work_type", "dwelling"]
PRESENCE_KEYS = ["part", "contact_code"]
NAMES = ("work_type", "dwelling", "area", "archetype", "part", "contact_code")


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `rates`, `presence`, `release_cells`, `contact_cells`, `positive_shares`, `place_share_cells`,
    `usual_items`, `model_figures` and the view `parameters`."""
    for step in ("model_figures", "model", "property_cells", "rate_counts", "release_cells", "contact_cells"):
        queries.make(con, "parameters", step, settings)
    for step in ("positive_shares", "place_share_cells", "usual_items"):
        queries.make(con, "parameters", step, settings)
    queries.insert(con, "learned_rates", _learn(queries.rows(con, "parameters", "rate_cells"), RATE_KEYS, learn_rates))
    for step in ("rates", "item_presence", "property_defaults", "surveyed_properties", "not_entered", "looked_for"):
        queries.make(con, "parameters", step, settings)
    queries.make(con, "parameters", "presence_counts", settings)
    counts = queries.rows(con, "parameters", "presence_cells")
    queries.insert(con, "learned_presence", _learn(counts, PRESENCE_KEYS, learn_shares))
    for step in ("presence", "parameters"):
        queries.make(con, "parameters", step, settings)


def _learn(counts: pd.DataFrame, keys: list[str], learn: Callable[[pd.DataFrame], pd.DataFrame]) -> pd.DataFrame:
    """The counts with what they teach beside them, each group of cells by itself."""
    groups = [group for _, group in counts.groupby(keys, sort=True)]
    with ThreadPoolExecutor(THREADS) as threads:  # distribution functions of many cells let other threads run
        learned = [group.join(found) for group, found in zip(groups, threads.map(learn, groups), strict=True)]
    together = pd.concat(learned) if learned else counts.assign(point=0.0, low=0.0, high=0.0)
    return together.astype({name: "string" for name in NAMES if name in together})


def learn_rates(cells: pd.DataFrame) -> pd.DataFrame:
    """Rates a year of the cells of one kind of work: posterior mean with 5 % and 95 % (columns point, low, high).

    `cells` has n (events), property_years, default_rate (a year) and uncertainty_factor. Gamma-Poisson: counts are
    negative binomial given the mean m and spread k, and a cell's rate is then Gamma(k + n, k/m + years).
    """
    n, years = (cells[name].to_numpy("float64")[:, None] for name in ("n", "property_years"))
    mean, spread, weight = _grid(cells)
    mean = float(cells["default_rate"].iloc[0]) * mean
    expected = mean * years
    likelihood = (
        special.gammaln(spread + n)
        - special.gammaln(spread)
        - special.gammaln(n + 1)
        + special.xlogy(spread, spread / (spread + expected))
        + special.xlogy(n, expected / (spread + expected))
    ).sum(axis=0)
    mean, spread, weight = _worth(likelihood + weight, mean, spread)
    shape, rate = spread + n, spread / mean + years
    point = (weight * shape / rate).sum(axis=1)

    def below(logarithm: Array, cell: Array) -> Array:
        shares = special.gammainc(shape[cell], rate[cell] * np.exp(logarithm)[:, None])
        return np.asarray((weight * shares).sum(axis=1))

    return _summary(cells, point, below, np.exp, np.log)


def learn_shares(cells: pd.DataFrame) -> pd.DataFrame:
    """Shares of the archetypes of one material: posterior mean with 5 % and 95 % (columns point, low, high).

    `cells` has n (surveyed), found (of them with it; fractions where it was presumed), default_share and
    uncertainty_factor. Beta-binomial, with one landlord-wide factor on the defaults. Surveyed homes are no random
    sample; this does not mend that.
    """
    n, found, default = (cells[name].to_numpy("float64")[:, None] for name in ("n", "found", "default_share"))
    mean, spread, weight = _grid(cells)
    share = np.minimum(default * mean, MOST_SHARE)
    likelihood = (
        special.betaln(spread * share + found, spread * (1 - share) + n - found)
        - special.betaln(spread * share, spread * (1 - share))
    ).sum(axis=0)
    mean, spread, weight = _worth(likelihood + weight, mean, spread)
    share = np.minimum(default * mean, MOST_SHARE)
    yes, no = spread * share + found, spread * (1 - share) + n - found
    point = (weight * yes / (yes + no)).sum(axis=1)

    def below(logit: Array, cell: Array) -> Array:
        shares = special.betainc(yes[cell], no[cell], special.expit(logit)[:, None])
        return np.asarray((weight * shares).sum(axis=1))

    return _summary(cells, point, below, special.expit, special.logit)


def _grid(cells: pd.DataFrame) -> tuple[Array, Array, Array]:
    """Factors on the default, spreads, and the logarithm of how likely each pair is beforehand."""
    tau = np.log(float(cells["uncertainty_factor"].iloc[0])) / NINETY
    standard, spread = (axis.ravel() for axis in np.meshgrid(MEANS, SPREADS))
    return np.exp(tau * standard), spread, -0.5 * standard**2


def _worth(logarithm: Array, mean: Array, spread: Array) -> tuple[Array, Array, Array]:
    """The points of the grid that matter, with their weights, which sum to 1."""
    weight = np.exp(logarithm - logarithm.max())
    kept = weight > LEAST_WEIGHT * weight.max()
    return mean[kept], spread[kept], weight[kept] / weight[kept].sum()


def _summary(
    cells: pd.DataFrame,
    point: Array,
    below: Callable[[Array, Array], Array],
    scale: Callable[[Array], Array],
    unscale: Callable[[Array], Array],
) -> pd.DataFrame:
    """Point with its 5 % and 95 %, widened to hold it and above nothing; `below` is each one's distribution function
    on that scale."""
    middle = unscale(np.clip(point, LEAST_POINT, 1 - LEAST_POINT if scale is special.expit else None))
    low, high = scale(_quantiles(below, middle, cells.drop(columns=[*set(NAMES) & set(cells)])))
    found = pd.DataFrame({"point": point, "low": low, "high": high}, index=cells.index).round(DIGITS)
    found["low"] = found["low"].clip(LEAST_POINT, None).clip(None, found["point"])
    return found.assign(high=found["high"].clip(found["point"], None))


def _quantiles(below: Callable[[Array, Array], Array], middle: Array, counts: pd.DataFrame) -> Array:
    """Where each distribution function reaches 5 % and 95 % (two rows), sought around the middle; the end beyond which
    it lies. Cells that count the same are worked out once."""
    alike = counts.groupby(list(counts), dropna=False).ngroup().to_numpy()
    _, first, of_cell = np.unique(alike, return_index=True, return_inverse=True)
    cell, share = np.tile(first, 2), np.repeat((0.05, 0.95), len(first))
    ends = (middle[cell] - FARTHEST, middle[cell] + FARTHEST)
    found = elementwise.find_root(
        lambda value, cell, share: below(value, cell) - share, ends, args=(cell, share), tolerances={"xatol": TOLERANCE}
    )
    beyond = np.where(found.f_bracket[0] > 0, *ends)
    return np.where(found.success, found.x, beyond).reshape(2, -1)[:, of_cell]
