"""The chance that the air is over a limit while a task is done, and what profiles have of it.

Concentration while a task is done is lognormal with an uncertain middle: ln C ~ N(mu, s^2), s = ln GSD fixed,
mu ~ N(ln GM, tau^2), tau = ln F / 1.645 (F the factor between the middle and its 95 %). A mean over T minutes is
C min(t, T) / T for a task of t minutes. The limits are Great Britain's: 0.1 f/ml over 4 hours (control limit), and 0.6
f/ml over 10 minutes (a test of `sporadic and of low intensity`), both Control of Asbestos Regulations 2012 reg 2.
"""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
import pandas as pd
from scipy import special

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
TOUCHED = ["work_type", "contact_code", "touched", "touched_low", "touched_high"]
RELEASED = ["product", "task", "minutes", "ln_gm", "s", "tau"]
RELEASED += ["controlled_task", "controlled_ln_gm", "controlled_s", "controlled_tau"]
PROFILE_KEYS = ["profile_id", "contact_code", "product", "work_type", "task", "minutes", "meets_one_room"]


def p_over(gm: Any, gsd: Any, factor: Any, minutes: Any, limit: Limit) -> Array:
    """The expected chance that the mean over the limit's time is above it, for a task of `minutes` at `gm` f/ml."""
    s, tau = np.log(gsd), np.log(factor) / NINETY
    return np.asarray(special.ndtr((np.log(gm) - task_limit(minutes, limit)) / np.hypot(s, tau)))


def p_over_range(gm: Any, gsd: Any, factor: Any, minutes: Any, limit: Limit) -> tuple[Array, Array]:
    """The 5 % and 95 % of that chance over what is not known of GM, widened to hold the expected chance."""
    point = p_over(gm, gsd, factor, minutes, limit)
    distance = np.log(gm) - task_limit(minutes, limit)
    low, high = (special.ndtr((distance + side * np.log(factor)) / np.log(gsd)) for side in (-1, 1))
    return np.maximum(np.minimum(low, point), FLOOR), np.maximum(high, point)


def mean_dose(gm: Any, gsd: Any, factor: Any, minutes: Any) -> Array:
    """The expected dose of one touch, f/ml.h: the lognormal's mean times the hours of the task."""
    s, tau = np.log(gsd), np.log(factor) / NINETY
    return np.asarray(gm * np.exp((s**2 + tau**2) / 2) * minutes / 60)


def task_limit(minutes: Any, limit: Limit) -> Array:
    """The logarithm of the concentration during the task that brings the mean to the limit."""
    return np.asarray(np.log(limit.f_per_ml * limit.minutes / np.minimum(minutes, limit.minutes)))


def score_lines(lines: pd.DataFrame) -> pd.DataFrame:
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
