"""What the build works out in SQL, written once more in pandas: to be measured against, and to agree with.

Written as one would who knows pandas: keys are categories that share their codes, scores are looked up by category,
there is no loop over rows. The rules are those of queries/assessment and queries/exposure.
"""

from collections.abc import Iterable
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
from scipy import special

Array = npt.NDArray[np.float64]
Tables = dict[str, pd.DataFrame]

PARTS = ("product_type", "damage", "surface_treatment", "asbestos_type")
BOUNDS = ("score", "low", "high")
KEYS = ("item_id", "property_ref", "building_ref", "work_type", "dwelling", "area", "scope")
CELL = ["profile_id", "scope", "dwelling", "area"]
CONTROL_LIMIT_F_PER_ML, CONTROL_LIMIT_MINUTES = 0.1, 240.0
NINETY, FLOOR, DIGITS = 1.645, 1e-12, 12


def read(folder: Path, names: Iterable[str]) -> Tables:
    """The tables `names` from parquet files in `folder`; keys as categories that all tables share."""
    read = {name: _read(folder / f"{name}.parquet") for name in names}
    for key in KEYS:
        holding = [table for table in read.values() if key in table]
        if holding:
            shared = pd.concat([table[key] for table in holding]).dropna().unique()
            for table in holding:
                table[key] = pd.Categorical(table[key], categories=sorted(shared))
    return read


def _read(file: Path) -> pd.DataFrame:
    """One table: lists stay Arrow's, structs become columns, texts of few values become categories."""
    table = pq.read_table(file).flatten()
    frame = table.to_pandas(types_mapper=lambda kind: pd.ArrowDtype(kind) if pa.types.is_list(kind) else None)
    few = [name for name in ("product", "damage_term", "surface_term", "identification") if name in frame]
    typed: pd.DataFrame = frame.astype(dict.fromkeys(few, "category"))
    return typed


def material(tables: Tables, reference: Tables, textured: int) -> pd.DataFrame:
    """Material assessment (HSG264) of every suspect reading and item: id, material_score, _low, _high (2-12), band."""
    readings, conditions = tables["readings"], tables["item_conditions"]
    suspect = readings[readings["is_suspect"]].merge(tables["unchanged_damage"], on="entry_id", how="left")
    scored = _sub_scores(suspect, reference, textured)
    items = conditions[conditions["is_suspect"]].rename(columns={"item_id": "id"})
    every = pd.concat([scored, items[scored.columns]], ignore_index=True)
    found = pd.DataFrame({"id": every["id"]})
    for bound in BOUNDS:
        found[f"material_{bound}"] = sum(every[f"{part}_{bound}"].to_numpy("float64") for part in PARTS)
    bands = reference["material_bands"].sort_values("from_score")
    low, high = (
        np.searchsorted(bands["from_score"], found[f"material_{bound}"], side="right") - 1 for bound in ("low", "high")
    )
    found["material_band"] = bands["band"].iloc[low].where(low == high, None).to_numpy()
    return found


def _sub_scores(suspect: pd.DataFrame, reference: Tables, textured: int) -> pd.DataFrame:
    """The four parts of each suspect reading, each with its least and most."""
    of_words = _types_of_words(suspect["asbestos_types"], reference["asbestos_types"])
    is_debris = suspect["is_debris"].to_numpy(bool)
    product_type = _within(suspect["product_type_digit"], 1, 3).fillna(
        _looked_up(suspect["product"], reference["products"], "product", "product_type_score")
    )
    damage = {
        bound: _within(suspect["damage_digit"], 0, 3)
        .fillna(_looked_up(suspect["damage_term"], reference["damage_scores"], "damage", bound))
        .fillna(suspect[f"damage.{bound}"].astype("float64"))
        .where(~is_debris, 3.0)
        for bound in BOUNDS
    }
    surface, least, most = _surfaces(suspect, reference["surface_scores"], textured)
    asbestos_type = _within(suspect["asbestos_type_digit"], 1, 3).fillna(of_words)
    is_presumed = of_words.isna() & (suspect["identification"] != "identified")
    parts = {
        "product_type": (product_type, product_type.fillna(1), product_type.fillna(3)),
        "damage": (damage["score"], damage["low"].fillna(0), damage["high"].fillna(3)),
        "surface_treatment": (surface, surface.fillna(least), surface.fillna(most)),
        "asbestos_type": (
            asbestos_type.where(asbestos_type.notna() | ~is_presumed, 3),
            asbestos_type.fillna(1).where(~is_presumed, 1),
            asbestos_type.fillna(3).where(~is_presumed, 3),
        ),
    }
    columns = {
        f"{name}_{bound}": part for name, three in parts.items() for bound, part in zip(BOUNDS, three, strict=True)
    }
    return pd.DataFrame({"id": suspect["entry_id"], **columns})


def _within(digits: pd.Series, least: int, most: int) -> pd.Series:
    """Digits of the register that are possible, the others missing."""
    known = digits.astype("float64")
    return known.where(known.between(least, most))


def _looked_up(words: pd.Series, table: pd.DataFrame, key: str, value: str) -> pd.Series:
    """The value of each word in a reference table, by category."""
    return words.map(table.set_index(key)[value].astype("float64")).astype("float64")


def _types_of_words(types: pd.Series, scores: pd.DataFrame) -> pd.Series:
    """The highest score of the asbestos types that a row names."""
    flat = types.list.flatten()
    worth = _looked_up(flat.astype("category"), scores, "asbestos_type", "score")
    worst: pd.Series = worth.groupby(level=0).max().reindex(types.index)
    return worst


def _surfaces(suspect: pd.DataFrame, scores: pd.DataFrame, textured: int) -> tuple[pd.Series, pd.Series, pd.Series]:
    """Surface score of each reading, and the least and most of its product."""
    ranges = scores.groupby("product")["score"].agg(["min", "max"])
    ranges.loc["textured_coating"] = textured
    least, most = (suspect["product"].map(ranges[end]).astype("float64") for end in ("min", "max"))
    least, most = least.fillna(0), most.fillna(3)
    fixed = least.where(least == most)
    worded = suspect[["product", "surface_term"]].merge(
        scores[["product", "surface", "score"]],
        how="left",
        left_on=["product", "surface_term"],
        right_on=["product", "surface"],
    )["score"]
    return _within(suspect["surface_digit"], 0, 3).fillna(fixed).fillna(worded.astype("float64")), least, most


def exposure(tables: Tables) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Expected exceedances of the control limit a year: of each item over all kinds of work, and of each building."""
    sums = _profile_sums(tables["profile_lines"], tables["rates"])
    items = tables["item_profiles"].merge(tables["item_presence"][["item_id", "p_present"]], on="item_id")
    items = items.merge(tables["property_cells"][["property_ref", "dwelling", "area"]], on="property_ref")
    items = items.merge(sums, on=CELL)
    weight = items["p_present"] * items["share"]
    items = items.assign(exceedances=weight * items["exceedances"], controlled=weight * items["controlled"])
    by_item = items.groupby("item_id", observed=True, sort=False)[["exceedances", "controlled"]].sum().reset_index()
    return by_item, _buildings(by_item, tables)


def _profile_sums(lines: pd.DataFrame, rates: pd.DataFrame) -> pd.DataFrame:
    """A year of all kinds of work on each profile, by scope, dwelling and area."""
    over = np.maximum(_p_over(lines, "gm_f_per_ml", "gsd", "release_factor"), FLOOR)
    good = _p_over(lines, *(f"controlled_{name}" for name in ("gm_f_per_ml", "gsd", "factor")))
    controlled = np.minimum(over, np.maximum(good, FLOOR)).round(DIGITS)
    touched = lines["touched"].round(DIGITS)
    over = over.round(DIGITS)
    worked = pd.DataFrame(
        {
            "profile_id": lines["profile_id"],
            "work_type": lines["work_type"],
            "scope": pd.Categorical(np.where(lines["meets_one_room"], "room", "home"), categories=["home", "room"]),
            "exceedances": touched * over,
            "controlled": touched * np.where(np.isnan(controlled), over, controlled),
        }
    ).merge(rates[["work_type", "dwelling", "area", "point"]], on="work_type")
    worked["exceedances"] *= worked["point"]
    worked["controlled"] *= worked["point"]
    return worked.groupby(CELL, observed=True, sort=False)[["exceedances", "controlled"]].sum().reset_index()


def _p_over(lines: pd.DataFrame, gm: str, gsd: str, factor: str) -> Array:
    """The expected chance that a task's 4-hour mean is above the control limit, 0.1 f/ml."""
    minutes = np.minimum(lines["minutes"].to_numpy("float64"), CONTROL_LIMIT_MINUTES)
    limit = np.log(CONTROL_LIMIT_F_PER_ML * CONTROL_LIMIT_MINUTES / minutes)
    spread = np.hypot(np.log(lines[gsd].to_numpy("float64")), np.log(lines[factor].to_numpy("float64")) / NINETY)
    return np.asarray(special.ndtr((np.log(lines[gm].to_numpy("float64")) - limit) / spread))


def _buildings(by_item: pd.DataFrame, tables: Tables) -> pd.DataFrame:
    """Known and possible exceedances a year of every building, and all of them with control."""
    known = by_item.merge(tables["items"][["item_id", "building_ref"]], on="item_id")
    known = known.groupby("building_ref", observed=True, sort=False)[["exceedances", "controlled"]].sum()
    possible = tables["possible_sums"].merge(tables["property_cells"][["property_ref", "building_ref"]])
    possible = possible.groupby("building_ref", observed=True, sort=False)[
        ["exceedances", "exceedances_controlled"]
    ].sum()
    every = pd.Index(tables["buildings"]["building_ref"])
    known, possible = known.reindex(every, fill_value=0.0), possible.reindex(every, fill_value=0.0)
    return pd.DataFrame(
        {
            "building_ref": every,
            "exceedances_known": known["exceedances"].to_numpy(),
            "exceedances_possible": possible["exceedances"].to_numpy(),
            "exceedances_controlled": (known["controlled"] + possible["exceedances_controlled"]).to_numpy(),
        }
    )
