"""How likely each kind of work is to lead to exposure, and what that adds up to in a building.

Concentration while a task is done is lognormal with an uncertain middle: ln C ~ N(mu, s^2), s = ln GSD fixed,
mu ~ N(ln GM, tau^2), tau = ln F / 1.645 (F the factor between the middle and its 95 %). A mean over T minutes is
C min(t, T) / T for a task of t minutes. The limits are Great Britain's: 0.1 f/ml over 4 hours (control limit), and 0.6
f/ml over 10 minutes (a test of `sporadic and of low intensity`), both Control of Asbestos Regulations 2012 reg 2.
"""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any, NamedTuple

import duckdb
import numpy as np
import numpy.typing as npt
import pandas as pd
from scipy import sparse, special

from pipelines import queries

Array = npt.NDArray[np.float64]


class Limit(NamedTuple):
    """A concentration, f/ml, and the minutes over which it is averaged."""

    f_per_ml: float
    minutes: float


CONTROL_LIMIT = Limit(0.1, 240)
SHORT_TERM = Limit(0.6, 10)
LIMITS = {"control_limit": CONTROL_LIMIT, "short_term": SHORT_TERM}
NINETY = 1.645
FLOOR = 1e-12
DIGITS = 12
APART = 0.9
THREADS = 2
DRAWS_AT_ONCE = 25
"""How many of the draws of all terms each thread holds at once, beside the sums themselves."""
PROFILE_KEYS = ["profile_id", "contact_code", "product", "work_type", "task", "minutes", "meets_one_room"]


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `exposure_profiles`, `item_profiles`, the views `exposures` and `possible_items`, and the sums and ranks."""
    queries.make(con, "exposure", "contact_lines", settings)
    queries.insert(con, "scored_lines", _score(queries.rows(con, "exposure", "lines_to_score")))
    for step in ("worst_lines", "item_reaches", "profiles", "item_profiles", "profile_lines"):
        queries.make(con, "exposure", step, settings)
    profiles = exposure_profiles(queries.rows(con, "exposure", "profile_rows"))
    queries.insert(con, "exposure_profiles", profiles)
    for step in ("exposures", "possible_items", "profile_sums", "item_exposures", "possible_exposures"):
        queries.make(con, "exposure", step, settings)
    for step in ("presence_ranges", "building_terms", "cell_works", "building_exposures"):
        queries.make(con, "exposure", step, settings)
    for table, ranges in _drawn(con, profiles, settings["draws"], settings["seed"]).items():
        queries.insert(con, table, ranges)


def p_over(gm: Any, gsd: Any, factor: Any, minutes: Any, limit: Limit) -> Array:
    """The expected chance that the mean over the limit's time is above it, for a task of `minutes` at `gm` f/ml."""
    s, tau = np.log(gsd), np.log(factor) / NINETY
    return np.asarray(special.ndtr((np.log(gm) - _task_limit(minutes, limit)) / np.hypot(s, tau)))


def p_over_range(gm: Any, gsd: Any, factor: Any, minutes: Any, limit: Limit) -> tuple[Array, Array]:
    """The 5 % and 95 % of that chance over what is not known of GM, widened to hold the expected chance."""
    point = p_over(gm, gsd, factor, minutes, limit)
    distance = np.log(gm) - _task_limit(minutes, limit)
    low, high = (special.ndtr((distance + side * np.log(factor)) / np.log(gsd)) for side in (-1, 1))
    return np.maximum(np.minimum(low, point), FLOOR), np.maximum(high, point)


def mean_dose(gm: Any, gsd: Any, factor: Any, minutes: Any) -> Array:
    """The expected dose of one touch, f/ml.h: the lognormal's mean times the hours of the task."""
    s, tau = np.log(gsd), np.log(factor) / NINETY
    return np.asarray(gm * np.exp((s**2 + tau**2) / 2) * minutes / 60)


def _task_limit(minutes: Any, limit: Limit) -> Array:
    """The logarithm of the concentration during the task that brings the mean to the limit."""
    return np.asarray(np.log(limit.f_per_ml * limit.minutes / np.minimum(minutes, limit.minutes)))


def _score(lines: pd.DataFrame) -> pd.DataFrame:
    """Lines with their chance over the control limit at default parameters and no damage, to choose among them."""
    point = p_over(lines["default_gm"], lines["default_gsd"], lines["default_factor"], lines["minutes"], CONTROL_LIMIT)
    return lines.drop(columns=["default_gm", "default_gsd", "default_factor"]).assign(
        p_at_default=np.round(point, DIGITS)
    )


def exposure_profiles(lines: pd.DataFrame) -> pd.DataFrame:
    """Each profile and work type with its chances over both limits, uncontrolled and controlled.

    Controlled, and each end of its range, is the lower of good practice and uncontrolled, of the allowed task where the
    usual one is forbidden; null where there is none. `touched` is the chance that the work touches it.
    """
    found = lines[PROFILE_KEYS].copy()
    found["touched"] = lines["touched"]
    found["touched_low"] = _touched(lines, -1)
    found["touched_high"] = _touched(lines, 1)
    minutes = lines["minutes"].to_numpy("float64")
    gm, gsd, factor = (lines[name].to_numpy("float64") for name in ("gm_f_per_ml", "gsd", "release_factor"))
    good_gm, good_gsd, good_factor = (
        lines[f"controlled_{name}"].to_numpy("float64") for name in ("gm_f_per_ml", "gsd", "factor")
    )
    for name, limit in LIMITS.items():
        point = np.maximum(p_over(gm, gsd, factor, minutes, limit), FLOOR)
        good = np.maximum(p_over(good_gm, good_gsd, good_factor, minutes, limit), FLOOR)
        found[f"p_over_{name}"] = point
        ends = p_over_range(gm, gsd, factor, minutes, limit)
        found[f"p_over_{name}_low"], found[f"p_over_{name}_high"] = ends
        found[f"p_over_{name}_controlled"] = np.minimum(point, good)
        good_ends = p_over_range(good_gm, good_gsd, good_factor, minutes, limit)
        for end, one, other in zip(("low", "high"), ends, good_ends, strict=True):
            found[f"p_over_{name}_controlled_{end}"] = np.minimum(one, other)
    found["mean_dose_f_per_ml_h"] = mean_dose(gm, gsd, factor, minutes)
    found["ln_gm"], found["s"] = np.log(gm), np.log(gsd)
    found["tau"] = np.log(factor) / NINETY
    return found.round(DIGITS)


def _touched(lines: pd.DataFrame, side: int) -> Array:
    contact = np.minimum(lines["contact"] * lines["contact_factor"] ** side, 1)
    return np.asarray(1 - (1 - contact) ** (lines["reach_percent"] / 100))


def _drawn(con: duckdb.DuckDBPyConnection, profiles: pd.DataFrame, draws: int, seed: int) -> dict[str, pd.DataFrame]:
    """Intervals of the sums of buildings, areas, kinds of work and the whole, and ranks of buildings and areas, over
    joint draws of the shared parameters."""
    buildings = queries.rows(con, "exposure", "building_points")
    sums, works = _sum_draws(con, profiles, len(buildings), draws, seed)
    areas = buildings.groupby("area", sort=True)["exceedances"].sum().reset_index()
    member = sparse.csr_matrix(
        (np.ones(len(buildings)), (pd.Index(areas["area"]).get_indexer(buildings["area"]), np.arange(len(buildings)))),
        shape=(len(areas), len(buildings)),
    )
    return {
        "building_ranges": _ranges(buildings, "building_ref", sums),
        "area_ranges": _ranges(areas, "area", member @ sums),
        "portfolio_ranges": _range(np.array([buildings["exceedances"].sum()]), sums.sum(axis=0, keepdims=True)),
        "work_ranges": works,
    }


def _sum_draws(
    con: duckdb.DuckDBPyConnection, profiles: pd.DataFrame, buildings: int, draws: int, seed: int
) -> tuple[Array, pd.DataFrame]:
    """Draws of each building's sum (buildings x draws), shares of terms times presence times a year's work, and the
    ranges of what each kind of work adds up to in all of them."""
    terms, work = (queries.rows(con, "exposure", name) for name in ("terms", "work_of_cells"))
    sources = queries.rows(con, "exposure", "presences")
    sums = np.zeros((buildings, draws))
    kinds_of_work, of_work = np.unique(work["work_type"].to_numpy(str), return_inverse=True)
    works = np.zeros((len(kinds_of_work), draws))
    if terms.empty:
        return sums, _range(works.sum(axis=1), works).assign(work_type=kinds_of_work)
    presence = _share_draws(sources, "presence " + sources["presence_key"], draws, seed)
    cells, first, of_cell = np.unique(work["cell_id"], return_index=True, return_inverse=True)
    pairs = np.searchsorted(cells, terms["cell_id"]) * len(sources) + terms["presence_id"].to_numpy() - 1
    kinds, kind = np.unique(pairs, return_inverse=True)
    cell, source = np.divmod(kinds, len(sources))
    weights = sparse.csr_matrix((terms["share"], (terms["building_number"], kind)), shape=(buildings, len(kinds)))
    in_all = np.asarray(weights.sum(axis=0)).ravel()
    held = sparse.csr_matrix((in_all, (cell, source)), shape=(len(cells), len(sources)))
    done = sparse.csr_matrix((np.ones(len(work)), (of_work, np.arange(len(work)))), shape=(len(works), len(work)))
    year = _year_draws(work, profiles, draws, seed)

    def add(some: slice) -> None:
        lines = year(some)
        years = np.add.reduceat(lines, first, axis=0)
        sums[:, some] = weights @ (presence[source, some] * years[cell])
        works[:, some] = done @ (lines * (held @ presence[:, some])[of_cell])

    with ThreadPoolExecutor(THREADS) as threads:  # sums over large arrays let other threads run
        list(threads.map(add, _some_draws(draws)))
    point = done @ (work["exceedances"].to_numpy() * (held @ sources["point"].to_numpy())[of_cell])
    return np.round(sums, DIGITS, out=sums), _range(point, works).assign(work_type=kinds_of_work)


def _year_draws(work: pd.DataFrame, profiles: pd.DataFrame, draws: int, seed: int) -> Callable[[slice], Array]:
    """What gives some of the draws of a year of each kind of work in each cell (lines of `work` x draws)."""
    release = "release " + profiles["product"] + " " + profiles["task"]
    contact = "contact " + profiles["work_type"] + " " + profiles["contact_code"]
    distance = profiles["ln_gm"].to_numpy() - _task_limit(profiles["minutes"].to_numpy(), CONTROL_LIMIT)
    exceeded = special.ndtr(
        (distance[:, None] + profiles["tau"].to_numpy()[:, None] * _normal(release, draws, seed))
        / profiles["s"].to_numpy()[:, None]
    )
    exceeded *= _share_draws(
        profiles.rename(columns={"touched": "point", "touched_low": "low", "touched_high": "high"}),
        contact,
        draws,
        seed,
    )
    rate = "rate " + work["work_type"] + " " + work["dwelling"] + " " + work["area"]
    is_first = ~rate.duplicated()
    often, of_rate = _rate_draws(work[is_first], rate[is_first], draws, seed), pd.factorize(rate)[0]
    keys = ["profile_id", "work_type"]
    of_line = pd.MultiIndex.from_frame(profiles[keys]).get_indexer(pd.MultiIndex.from_frame(work[keys]))
    return lambda some: often[of_rate, some] * exceeded[of_line, some]


def _some_draws(draws: int) -> Iterator[slice]:
    """The columns of all draws, some at once."""
    return (slice(start, start + DRAWS_AT_ONCE) for start in range(0, draws, DRAWS_AT_ONCE))


def _share_draws(table: pd.DataFrame, names: pd.Series, draws: int, seed: int) -> Array:
    """Draws of shares: lognormal about the point, each side by its own width, at most 1."""
    return np.minimum(_rate_draws(table, names, draws, seed), 1)


def _rate_draws(table: pd.DataFrame, names: pd.Series, draws: int, seed: int) -> Array:
    point, low, high = (table[name].to_numpy("float64")[:, None] for name in ("point", "low", "high"))
    normal = _normal(names, draws, seed)
    down = np.log(np.maximum(point, FLOOR) / np.maximum(np.minimum(low, point), FLOOR)) / NINETY
    up = np.log(np.maximum(high, np.maximum(point, FLOOR)) / np.maximum(point, FLOOR)) / NINETY
    return np.asarray(point * np.exp(normal * np.where(normal < 0, down, up)))


def _normal(names: pd.Series, draws: int, seed: int) -> Array:
    """Standard normal draws, one row a name; equal names have equal draws in every build."""
    codes, distinct = pd.factorize(names, sort=True)
    rows, chance = np.empty((len(distinct), draws)), np.random.RandomState()
    for index, name in enumerate(distinct):
        digest = hashlib.sha256(f"{seed} {name}".encode()).digest()
        chance.seed(np.frombuffer(digest, dtype=np.uint32))
        rows[index] = chance.standard_normal(draws)
    return rows[codes]


def _range(point: Array, sums: Array) -> pd.DataFrame:
    """5 % and 95 % of each sum, widened to hold the point."""
    low, high = np.quantile(sums, (0.05, 0.95), axis=1)
    found = pd.DataFrame({"exceedances_low": np.minimum(low, point), "exceedances_high": np.maximum(high, point)})
    return found.round(DIGITS)


def _ranges(things: pd.DataFrame, key: str, sums: Array) -> pd.DataFrame:
    """5 % and 95 % of each sum and of its rank, and groups that cannot be told apart, the most exposed first. Of things
    that are equal in a draw each may have the first and the last of their ranks."""
    point = things["exceedances"].to_numpy("float64")
    order = np.lexsort((things[key].to_numpy(str), -point))
    point, sums = point[order], sums[order]
    found = pd.DataFrame({key: things[key].to_numpy()[order]}).join(_range(point, sums))
    rank = np.arange(1, len(order) + 1, dtype="int32")
    found["rank_by_exposure"] = rank
    first = np.quantile(_ranks(sums, is_last=False), 0.05, axis=0, method="lower") if len(order) else point
    last = np.quantile(_ranks(sums, is_last=True), 0.95, axis=0, method="higher") if len(order) else point
    found["rank_low"] = np.minimum(first, rank).astype("int32")
    found["rank_high"] = np.maximum(last, rank).astype("int32")
    found["rank_group"] = _groups(sums)
    return found


def _ranks(sums: Array, is_last: bool) -> npt.NDArray[np.int32]:
    """The rank of each thing in each draw (draws x things), 1 for the largest; of equal ones the first or last."""
    ranks = np.empty(sums.shape[::-1], dtype=np.int32)
    largest_first = np.ascontiguousarray(-sums.T)

    def rank(draw: int) -> None:
        order = np.argsort(largest_first[draw], kind="stable")
        starts = np.flatnonzero(np.diff(largest_first[draw][order], prepend=-np.inf))
        ends = np.append(starts[1:], len(order))
        ranks[draw, order] = np.repeat(ends if is_last else starts + 1, ends - starts)

    with ThreadPoolExecutor(THREADS) as threads:  # sorting lets other threads run
        list(threads.map(rank, range(len(ranks))))
    return ranks


def _groups(sums: Array) -> npt.NDArray[np.int32]:
    """Numbers of groups: a new one starts where its first lies below the last one's first in 90 % of draws."""
    groups = np.empty(len(sums), dtype=np.int32)
    first, number, least = 0, 1, APART * sums.shape[1]
    for index in range(len(sums)):
        if index and np.count_nonzero(sums[first] > sums[index]) >= least:
            first, number = index, number + 1
        groups[index] = number
    return groups
