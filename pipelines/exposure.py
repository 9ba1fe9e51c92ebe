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
import pyarrow as pa
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
SUMMED = ["exceedances", "exceedances_controlled"]
DRAWS_AT_ONCE = 4
"""How many of the draws of all terms each thread holds at once, beside the sums themselves."""
RATED = ["work_type", "stratum_id"]
TOUCHED = ["work_type", "contact_code", "touched", "touched_low", "touched_high"]
RELEASED = ["product", "task", "minutes", "ln_gm", "s", "tau"]
RELEASED += ["controlled_task", "controlled_ln_gm", "controlled_s", "controlled_tau"]
PROFILE_KEYS = ["profile_id", "contact_code", "product", "work_type", "task", "minutes", "meets_one_room"]


def run(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make `exposure_profiles`, `item_profiles`, the views on them, and the sums."""
    queries.make(con, "exposure", "contact_lines", settings)
    queries.insert(con, "scored_lines", _score(queries.rows(con, "exposure", "lines_to_score")))
    for step in ("worst_lines", "item_reaches", "profiles", "item_profiles", "profile_lines"):
        queries.make(con, "exposure", step, settings)
    queries.insert(con, "exposure_profiles", exposure_profiles(queries.rows(con, "exposure", "profile_rows")))
    for step in ("exposures", "possible_items", "item_exposures", "profile_sums", "item_sums", "possible_sums"):
        queries.make(con, "exposure", step, settings)
    for step in ("building_numbers", "presence_ranges", "building_terms", "cell_works"):
        queries.make(con, "exposure", step, settings)
    for step in ("building_exposures", "possible_kinds"):
        queries.make(con, "exposure", step, settings)


def draw(con: duckdb.DuckDBPyConnection, settings: Mapping[str, Any]) -> None:
    """Make the joint draws, the ranges of the sums, and ranks."""
    profiles = exposure_profiles(queries.rows(con, "exposure", "profile_rows"))
    draws = _draws(con, profiles, settings["draws"], settings["seed"])
    for table, rows in (draws.tables() | _ranges_of_sums(con, draws)).items():
        queries.insert(con, table, rows)
    for step in ("possible_exposures", "term_draws"):
        queries.make(con, "exposure", step, settings)


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
    names = ["default_gm", "default_gsd", "default_factor", "default_minutes"]
    gm, gsd, factor, minutes = (lines[name] for name in names)
    point = p_over(gm, gsd, factor, minutes, CONTROL_LIMIT)
    return lines.drop(columns=names).assign(p_at_default=np.round(point, DIGITS))


def exposure_profiles(lines: pd.DataFrame) -> pd.DataFrame:
    """Each profile and work type with its chances over both limits, uncontrolled and controlled.

    Controlled, and each end of its range, is the lower of good practice and uncontrolled, of the allowed task where the
    usual one is forbidden; null where there is none. `touched` is the chance that the work touches it. Lines whose
    chances are drawn alike share a `touch_id` or `release_id`.
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
    found["controlled_task"] = lines["controlled_task"]
    found["controlled_ln_gm"], found["controlled_s"] = np.log(good_gm), np.log(good_gsd)
    found["controlled_tau"] = np.log(good_factor) / NINETY
    found = found.round(DIGITS)
    for name, keys in (("touch_id", TOUCHED), ("release_id", RELEASED)):
        found[name] = found.groupby(keys, sort=True, dropna=False).ngroup().astype("int32")
    return found


def _touched(lines: pd.DataFrame, side: int) -> Array:
    contact = np.minimum(lines["contact"] * lines["contact_factor"] ** side, 1)
    return np.asarray(1 - (1 - contact) ** (lines["reach_percent"] / 100))


class Draws(NamedTuple):
    """Joint draws of the shared parameters, each a frame of keys and arrays of rows x draws: the chance of being there,
    rates a year, the chance that work touches, and that over the control limit then, without and with control."""

    sources: pd.DataFrame
    present: Array
    rates: pd.DataFrame
    often: Array
    touches: pd.DataFrame
    touched: Array
    releases: pd.DataFrame
    over: Array
    over_controlled: Array

    @property
    def number(self) -> int:
        """How many draws there are."""
        return int(self.present.shape[1])

    def tables(self) -> dict[str, pa.Table]:
        """The draws as tables of the result, to seven digits, so that a page can give any sum its range."""
        return {
            "presence_draws": _with_draws(self.sources[["presence_id", "is_possible", "point"]], present=self.present),
            "rate_draws": _with_draws(self.rates[[*RATED, "point"]], often=self.often),
            "touch_draws": _with_draws(self.touches[["touch_id"]], touched=self.touched),
            "release_draws": _with_draws(
                self.releases[["release_id"]], over=self.over, over_controlled=self.over_controlled
            ),
        }


def _with_draws(keys: pd.DataFrame, **draws: Array) -> pa.Table:
    """Rows with their draws beside them, as lists."""
    table = pa.Table.from_pandas(keys, preserve_index=False)
    for name, values in draws.items():
        starts = np.arange(len(values) + 1, dtype=np.int32) * values.shape[1]
        table = table.append_column(name, pa.ListArray.from_arrays(starts, values.astype(np.float32).ravel()))
    return table


def _draws(con: duckdb.DuckDBPyConnection, profiles: pd.DataFrame, draws: int, seed: int) -> Draws:
    """Draws of every source of presence, every rate, and what profiles are drawn by. Parameters of one name, as the
    default of a rate in all areas, are drawn together. Control draws with the release that it is of, and never raises a
    draw."""
    sources, rates = (queries.rows(con, "exposure", name) for name in ("presences", "rate_points"))
    touches, releases = (
        profiles.drop_duplicates(key).sort_values(key, ignore_index=True) for key in ("touch_id", "release_id")
    )

    over, good = (_exceeded(releases, control, draws, seed) for control in ("", "controlled_"))
    return Draws(
        sources,
        _share_draws(sources, "presence " + sources["presence_key"], draws, seed),
        rates,
        _rate_draws(rates, "rate " + rates["work_type"] + " " + rates["dwelling"] + " " + rates["area"], draws, seed),
        touches,
        _share_draws(
            touches.rename(columns={"touched": "point", "touched_low": "low", "touched_high": "high"}),
            "contact " + touches["work_type"] + " " + touches["contact_code"],
            draws,
            seed,
        ),
        releases,
        over,
        np.fmin(over, good),
    )


def _ranges_of_sums(con: duckdb.DuckDBPyConnection, draws: Draws) -> dict[str, pd.DataFrame]:
    """Intervals of the sums of buildings, areas, kinds of work, their pairs with kinds of material, what was never
    looked for and the whole, without and with control, and ranks of buildings and areas without, over joint draws."""
    buildings, possible = (queries.rows(con, "exposure", f"{name}_points") for name in ("building", "possible"))
    both, pairs, of_pairs = _sum_draws(con, draws, (len(buildings), len(possible)))
    sums, unseen = both[:, : len(buildings)], both[:, len(buildings) :]
    areas, of_areas = _gathered(buildings, "area", sums)
    works, of_works = _gathered(pairs, "work_type", of_pairs)
    return {
        "building_ranges": _ranges(buildings, "building_ref", sums),
        "area_ranges": _ranges(areas, "area", of_areas),
        "portfolio_ranges": _range(buildings[SUMMED].sum().to_frame().T, sums.sum(axis=1, keepdims=True)),
        "possible_ranges": possible.drop(columns=SUMMED).join(_range(possible, unseen)),
        "pair_ranges": pairs.drop(columns=SUMMED).join(_range(pairs, of_pairs)),
        "work_ranges": works.drop(columns=SUMMED).join(_range(works, of_works)),
    }


def _gathered(things: pd.DataFrame, key: str, draws: Array) -> tuple[pd.DataFrame, Array]:
    """The sums of things that share a key, in its order, and the draws of these sums."""
    sums = things.groupby(key, sort=True)[SUMMED].sum().reset_index()
    member = _members(pd.Index(sums[key]).get_indexer(things[key]), len(sums))
    return sums, np.stack([member @ each for each in draws])


def _members(of_thing: Any, sums: int) -> Any:
    """What adds things up to the sums whose numbers these are."""
    return sparse.csr_matrix((np.ones(len(of_thing)), (of_thing, np.arange(len(of_thing)))), (sums, len(of_thing)))


def _sum_draws(
    con: duckdb.DuckDBPyConnection, draws: Draws, counts: tuple[int, int]
) -> tuple[Array, pd.DataFrame, Array]:
    """Draws of sums without and with control (2 x sums x draws), shares of terms times presence times a year's work: of
    buildings, then of kinds of what was never looked for (`counts` of each). Then what each pair of work and material
    adds up to in all buildings, with its draws (2 x pairs x draws)."""
    terms, work = (queries.rows(con, "exposure", name) for name in ("terms", "work_of_cells"))
    sums = np.zeros((len(SUMMED), sum(counts), draws.number))
    by_pair = work.groupby(["work_type", "contact_code"], sort=True)
    pairs = by_pair[SUMMED].sum().reset_index()
    of_pairs = np.zeros((len(SUMMED), len(pairs), draws.number))
    if terms.empty:
        return sums, pairs, of_pairs
    cells, first, of_cell = np.unique(work["cell_id"], return_index=True, return_inverse=True)
    weights, cell, source = _weights(terms, cells, len(draws.sources), sum(counts))
    in_all = np.asarray(weights[: counts[0]].sum(axis=0)).ravel()
    held = sparse.csr_matrix((in_all, (cell, source)), shape=(len(cells), len(draws.sources)))
    member = _members(by_pair.ngroup(), len(pairs))
    year = _year_draws(work, draws)

    def add(some: slice) -> None:
        there, in_cells = draws.present[source, some], (held @ draws.present[:, some])[of_cell]
        for lines, of_terms, each in zip(year(some), sums, of_pairs, strict=True):
            years = np.add.reduceat(lines, first, axis=0)[cell]
            years *= there
            of_terms[:, some] = weights @ years
            lines *= in_cells
            each[:, some] = member @ lines

    with ThreadPoolExecutor(THREADS) as threads:  # sums over large arrays let other threads run
        list(threads.map(add, _some_draws(draws.number)))
    pairs[SUMMED] = member @ (work[SUMMED].to_numpy() * (held @ draws.sources["point"].to_numpy())[of_cell, None])
    return np.round(sums, DIGITS, out=sums), pairs, of_pairs


def _weights(terms: pd.DataFrame, cells: Array, sources: int, sums: int) -> tuple[Any, Array, Array]:
    """Shares of sums (rows) in each pair of a cell of work and a source of presence, and the two of each pair."""
    pairs = np.searchsorted(cells, terms["cell_id"]) * sources + terms["presence_id"].to_numpy() - 1
    kinds, kind = np.unique(pairs, return_inverse=True)
    weights = sparse.csr_matrix((terms["share"], (terms["sum_number"], kind)), shape=(sums, len(kinds)))
    return weights, *np.divmod(kinds, sources)


def _year_draws(work: pd.DataFrame, draws: Draws) -> Callable[[slice], Iterator[Array]]:
    """What gives some of the draws of a year of each kind of work in each cell (lines of `work` x draws), without and
    with control."""
    rate = pd.MultiIndex.from_frame(draws.rates[RATED]).get_indexer(pd.MultiIndex.from_frame(work[RATED]))
    touch, release = work["touch_id"].to_numpy(), work["release_id"].to_numpy()

    def year(some: slice) -> Iterator[Array]:
        touches = draws.often[rate, some] * draws.touched[touch, some]
        return (touches * over[release, some] for over in (draws.over, draws.over_controlled))

    return year


def _exceeded(releases: pd.DataFrame, control: str, draws: int, seed: int) -> Array:
    """Draws of the chance over the control limit at each release; NaN where there is none with control."""
    names = "release " + releases["product"] + " " + releases[f"{control}task"]
    ln_gm, s, tau = (releases[f"{control}{name}"].to_numpy()[:, None] for name in ("ln_gm", "s", "tau"))
    limit = _task_limit(releases["minutes"].to_numpy(), CONTROL_LIMIT)[:, None]
    return np.asarray(special.ndtr((ln_gm - limit + tau * _normal(names, draws, seed)) / s))


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


def _range(things: pd.DataFrame, draws: Array) -> pd.DataFrame:
    """5 % and 95 % of each sum, widened to hold the point, and nothing only where the point is; `draws` has those
    without control first (2 x things x draws)."""
    ends = {}
    for name, sums in zip(SUMMED, draws, strict=True):
        low, high = np.quantile(sums, (0.05, 0.95), axis=1)
        ends[f"{name}_low"] = np.minimum(np.maximum(low, FLOOR), things[name])
        ends[f"{name}_high"] = np.maximum(high, things[name])
    return pd.DataFrame(ends).round(DIGITS)


def _ranges(things: pd.DataFrame, key: str, draws: Array) -> pd.DataFrame:
    """5 % and 95 % of each sum, and of its rank without control, and groups that cannot be told apart, the most exposed
    first. Of things that are equal in a draw each may have the first and the last of their ranks."""
    point = things["exceedances"].to_numpy("float64")
    order = np.lexsort((things[key].to_numpy(str), -point))
    found = things[[key]].join(_range(things, draws)).iloc[order].reset_index(drop=True)
    point, sums = point[order], draws[0, order]
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
        order = np.argsort(largest_first[draw])  # equal ones share their rank, in whichever order
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
