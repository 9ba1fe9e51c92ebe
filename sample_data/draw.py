"""Seeded draws and the small tables behind them.

Every draw comes from numpy's RandomState, whose stream is frozen: a seed gives the same sample for ever.
"""

from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
Texts = npt.NDArray[np.object_]

TABLES = Path(__file__).parent / "tables"


def table(name: str) -> pd.DataFrame:
    """One of the csv tables beside this file; blank cells stay empty text in text columns."""
    frame = pd.read_csv(TABLES / f"{name}.csv", keep_default_na=False)
    return frame.astype(dict.fromkeys(frame.select_dtypes(exclude="number").columns, object))


def stream(seed: int, stage: int) -> np.random.RandomState:
    """The random stream of one stage: stages do not disturb each other when one of them changes."""
    return np.random.RandomState((seed * 31 + stage * 7919) % 2**32)


def spread(rng: np.random.RandomState, group: Ints) -> Floats:
    """Uniform numbers that fill 0 to 1 evenly within each group, in random order."""
    noise = rng.random_sample(len(group))
    order = np.lexsort((noise, group))
    sizes = np.bincount(group, minlength=1)
    sizes = sizes[sizes > 0]
    starts = np.repeat(np.cumsum(sizes) - sizes, sizes)
    rank = np.arange(len(group)) - starts
    out = np.empty(len(group))
    out[order] = (rank + rng.random_sample(len(group))) / np.repeat(sizes, sizes)
    return out


def balanced(rng: np.random.RandomState, chance: Floats, group: Ints, along: Ints) -> Flags:
    """True with the chance given; hits in each group, and in each run of it, lie close to what is expected.

    Systematic sampling: chances are summed up in order of group, then of `along`; each whole number
    passed is a hit.
    """
    order = np.lexsort((rng.random_sample(len(chance)), along, group))
    steps = np.floor(np.cumsum(chance[order]) + rng.random_sample() + 1e-9)
    out = np.zeros(len(chance), dtype=bool)
    out[order] = np.diff(np.concatenate(([0.0], steps))) > 0
    return out & (chance > 0)


def beta(rng: np.random.RandomState, mean: Floats, concentration: Floats, group: Ints) -> Floats:
    """Beta values of the given mean and concentration (a + b), spread evenly in each group."""
    shape = np.clip(mean, 1e-4, 1 - 1e-4)
    a, b = shape * concentration, (1 - shape) * concentration
    pool = np.sort(rng.beta(a[:, None], b[:, None], (len(mean), 31)), axis=1)
    chosen = pool[np.arange(len(mean)), np.minimum((spread(rng, group) * 31).astype(np.int64), 30)]
    return np.where(mean > 0, chosen, 0.0)


def pick(u: Floats, weights: Floats) -> Ints:
    """Column drawn per row: weights (one row for all, or one each) set the shares, u in 0 to 1 decides."""
    last = weights.shape[-1] - 1
    steps = np.cumsum(np.broadcast_to(weights, (len(u), last + 1)), axis=1)
    passed = (u[:, None] * steps[:, -1:] >= steps).sum(axis=1)
    return np.asarray(np.minimum(passed, last), dtype=np.int64)


def codes(values: "pd.Series[str]") -> Ints:
    """Number of each distinct value in order of first sight: group keys for the functions above."""
    return np.asarray(pd.factorize(values)[0], dtype=np.int64)
