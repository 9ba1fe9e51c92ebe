"""What sums come to in the joint draws: their ranges, and the ranges of ranks."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import duckdb
import numpy as np
import numpy.typing as npt
import pandas as pd
from scipy import sparse

from pipelines import queries
from pipelines.exposure.chances import DIGITS, FLOOR, Array
from pipelines.exposure.draws import RATED, Draws

APART = 0.9
THREADS = 2
SUMMED = ["exceedances", "exceedances_controlled"]
DRAWS_AT_ONCE = 4
"""How many of the draws of all terms each thread holds at once, beside the sums themselves."""


def ranges_of_sums(con: duckdb.DuckDBPyConnection, draws: Draws) -> dict[str, pd.DataFrame]:
    """Intervals of the sums of buildings, areas, kinds of work, their pairs with kinds of material, what was never
    looked for and the whole, without and with control, and ranks of buildings and areas without, over joint draws."""
    buildings, possible = (queries.rows(con, "exposure", f"{name}_points") for name in ("building", "possible"))
    both, pairs, of_pairs = _sum_draws(con, draws, (len(buildings), len(possible)))
    sums, unseen = both[:, : len(buildings)], both[:, len(buildings) :]
    whole = sums.sum(axis=1, keepdims=True)
    areas, of_areas = _gathered(buildings, "area", sums)
    works, of_works = _gathered(pairs, "work_type", of_pairs)
    return {
        "building_ranges": _ranges(buildings, "building_ref", sums),
        "area_ranges": _ranges(areas, "area", of_areas),
        "portfolio_ranges": _range(buildings[SUMMED].sum().to_frame().T, whole).assign(
            exceedances_mean=whole[0].mean()
        ),
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


def _some_draws(draws: int) -> Iterator[slice]:
    """The columns of all draws, some at once."""
    return (slice(start, start + DRAWS_AT_ONCE) for start in range(0, draws, DRAWS_AT_ONCE))


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
