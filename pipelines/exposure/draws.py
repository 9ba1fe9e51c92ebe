"""Joint draws of all that is not known: presence, rates, contact and release. Names and the seed decide each draw."""

import hashlib
from typing import NamedTuple

import duckdb
import numpy as np
import pandas as pd
import pyarrow as pa
from scipy import special

from pipelines import queries
from pipelines.exposure.chances import CONTROL_LIMIT, FLOOR, NINETY, Array, task_limit

RATED = ["work_type", "stratum_id"]


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


def parameter_draws(con: duckdb.DuckDBPyConnection, profiles: pd.DataFrame, draws: int, seed: int) -> Draws:
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


def _exceeded(releases: pd.DataFrame, control: str, draws: int, seed: int) -> Array:
    """Draws of the chance over the control limit at each release; NaN where there is none with control."""
    names = "release " + releases["product"] + " " + releases[f"{control}task"]
    ln_gm, s, tau = (releases[f"{control}{name}"].to_numpy()[:, None] for name in ("ln_gm", "s", "tau"))
    limit = task_limit(releases["minutes"].to_numpy(), CONTROL_LIMIT)[:, None]
    return np.asarray(special.ndtr((ln_gm - limit + tau * _normal(names, draws, seed)) / s))


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
