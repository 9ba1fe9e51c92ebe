"""What is truly there: every suspect material of every property, asbestos or look-alike.

Presence is drawn by estate: an archetype gets its own rate, each of its runs leans one way, and homes follow
their run more or less closely: estates decide where it is, the rate of the band how much of it there is. The
rates are judgement, no published source (tables/presence.csv).
"""

import numpy as np
import pandas as pd
from draw import Floats, Ints, balanced, beta, codes, pick, spread, stream, table
from stock import BANDS

DAMAGE = np.array([0.285, 0.050, 0.0065])
"""Chance that a material of ordinary wear has damage of at least 1, 2, 3 (judgement)."""
SEALED_SHARE = {
    "textured_coating": 0.95,
    "insulating_board": 0.72,
    "asbestos_cement": 0.55,
    "thermal_insulation": 0.75,
}
"""Share with a sealed or painted face, by product; a quarter for the rest (judgement)."""
RARE = 0.10
"""Below this rate a find is one home's oddity more than its estate's habit (judgement)."""
COMPOSITE = ("floor_tile", "mastic_putty", "reinforced_plastic", "roofing_felt")
LOOKALIKE = {
    "insulating_board": "softboard",
    "asbestos_cement": "new cement board",
    "thermal_insulation": "mmmf",
    "floor_tile": "modern vinyl",
    "textured_coating": "plaster",
}
ADHESIVE_LISTED, ADHESIVE_ASBESTOS = 0.30, 0.30
"""Share of tiled floors whose adhesive is an item of its own; share of those that is asbestos (judgement)."""


def _presence(homes: pd.DataFrame, row: "pd.Series[str]", rng: np.random.RandomState) -> Ints:
    """For one code: 0 nothing, 1 asbestos, 2 look-alike, for each of the homes given (all of one part)."""
    band = homes["band"].to_numpy()
    rates = np.append(row[list(BANDS[:9])].to_numpy(dtype=float) / 100, 0.0)
    flat = homes["dwelling"].isin(["flat", "maisonette", "sheltered unit"]).to_numpy()
    mean = np.minimum(rates[band] * np.where(flat, row["flat_factor"], 1.0), 0.95)
    group = band * 2 + flat
    archetype, run = codes(homes["archetype"]), codes(homes["run"])
    first_a = np.unique(archetype, return_index=True)[1]
    alike_by = float(row["concentration"]) / np.clip(mean[first_a] / RARE, 0.05, 1)
    own = beta(rng, mean[first_a], alike_by, group[first_a])[archetype]
    first_r = np.unique(run, return_index=True)[1]
    leaning = balanced(rng, own[first_r], group[first_r], homes["size"].to_numpy()[first_r])[run]
    close = float(row["agreement"]) * np.minimum(mean / RARE, 1.0)
    leant = close * leaning + (1 - close) * own
    fair = np.bincount(group, mean) / np.maximum(np.bincount(group, leant), 1e-9)
    there = balanced(rng, np.minimum(leant * fair[group], 0.97), group, run)
    share = float(row["positive"]) * np.where(band >= 7, 0.5 if row["product"] == "asbestos_cement" else 0.2, 1.0)
    alike = np.minimum(mean * (1 - share) / share / (1 - mean), 0.97)
    return np.where(there, 1, np.where(balanced(rng, np.where(there, 0.0, alike), group, run), 2, 0)).astype(np.int64)


def _fibres(mix: str, count: int, rng: np.random.RandomState) -> "np.typing.NDArray[np.object_]":
    """Asbestos types in each of `count` finds, types of one find joined by a plus sign."""
    fibres = table("fibres").query("mix == @mix")
    chosen = pick(spread(rng, np.zeros(count, dtype=np.int64)), fibres["share"].to_numpy(dtype=float))
    return np.asarray(fibres["types"].to_numpy(dtype=object)[chosen], dtype=object)


def _spots(homes: pd.DataFrame, row: "pd.Series[str]", rng: np.random.RandomState) -> tuple[Ints, Ints]:
    """Where the code's items are: positions in `homes` and in the table of spots, several to a home."""
    spots = table("spots").query("part == @row.part and code == @row.code")
    weights = np.tile(spots["weight"].to_numpy(dtype=float), (len(homes), 1))
    kinds = homes["dwelling"].to_numpy(dtype=object)
    for column, barred in enumerate(spots["not_in"]):
        for word in barred.split():
            weights[np.char.startswith(kinds.astype(str), word), column] = 0
    counts = [pair.split(":") for pair in row["rows"].split()]
    drawn = pick(rng.random_sample(len(homes)), np.array([float(share) for _, share in counts]))
    wanted = np.array([int(number) for number, _ in counts])[drawn]
    with np.errstate(divide="ignore"):
        appeal = np.log(weights) - np.log(-np.log(rng.random_sample(weights.shape)))
    place = np.argsort(np.argsort(-appeal, axis=1), axis=1)
    home, spot = np.nonzero((place < wanted[:, None]) & (weights > 0))
    return home, spots.index.to_numpy()[spot]


def _items_of(homes: pd.DataFrame, row: "pd.Series[str]", rng: np.random.RandomState) -> pd.DataFrame:
    """Items of one code in the homes of one part."""
    state = _presence(homes, row, rng)
    homes, state = homes[state > 0], state[state > 0]
    types = np.where(state == 1, _fibres(row["fibre"], len(homes), rng), "none")
    home, spot = _spots(homes, row, rng)
    return pd.DataFrame(
        {
            "home": homes.index.to_numpy()[home],
            "spot": spot,
            "asbestos": state[home] == 1,
            "types": types[home],
            "wear": float(row["wear"]),
            "sampled": float(row["sampled"]),
        }
    )


def _adhesive(items: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Bitumen adhesive beneath some of the floor tiles: a layer is an item of its own."""
    under = items[(items["code"] == "FT") & (rng.random_sample(len(items)) < ADHESIVE_LISTED)].copy()
    under["asbestos"] = rng.random_sample(len(under)) < ADHESIVE_ASBESTOS * np.where(under["asbestos"], 1.0, 0.4)
    under["types"] = np.where(under["asbestos"], "chrysotile", "none")
    return under.assign(product="mastic_putty", element="adhesive", say="bitumen adhesive")


def _state(items: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Adds damage, surface and extent as they are at the first visit, and the years until damage grows."""
    least = DAMAGE * items["wear"].to_numpy()[:, None]
    items["damage"] = (spread(rng, codes(items["product"]))[:, None] < least).sum(axis=1)
    items["worse_after"] = rng.exponential(1 / 0.035, len(items))
    sealed = items["product"].map(SEALED_SHARE).fillna(0.25).to_numpy()
    u = rng.random_sample(len(items))
    enclosed = items["product"].isin(["thermal_insulation", "insulating_board"]) & (u < 0.06)
    items["surface"] = np.select(
        [items["product"].isin(COMPOSITE), enclosed, u < sealed],
        ["composite", "enclosed", "sealed"],
        "unsealed",
    )
    span = (items["high"] - items["low"]).to_numpy(dtype=float)
    raw: Floats = items["low"].to_numpy(dtype=float) + rng.random_sample(len(items)) * span
    items["extent"] = np.where(items["unit"] == "nr", np.round(raw), np.round(raw * 2) / 2)
    return items


def items(homes: pd.DataFrame, seed: int) -> pd.DataFrame:
    """Every suspect material: where and what it is, in what state; `home` is its property's position."""
    rates, spots = table("presence"), table("spots")
    rates["product"] = [spots.query("code == @code")["product"].iloc[0] for code in rates["code"]]
    of_part = {
        part: homes[homes["part"].isin([part, "non-domestic"] if part == "common parts" else [part])]
        for part in rates["part"].unique()
    }
    found = [
        _items_of(of_part[row["part"]], row, stream(seed, 100 + number))
        for number, (_, row) in enumerate(rates.iterrows())
    ]
    rng = stream(seed, 2)
    every = pd.concat(found, ignore_index=True)
    place = ["code", "product", "place", "element", "room", "say", "unit", "low", "high", "reach"]
    every = every.join(spots[place], on="spot")
    every = pd.concat([every, _adhesive(every, rng)], ignore_index=True)
    every = every.sort_values(["home", "spot", "product"], kind="stable", ignore_index=True)
    every = _state(every, rng)
    alike = every["product"].map(LOOKALIKE).fillna("plaster")
    every["true_product"] = np.where(every["asbestos"], every["product"], alike)
    number = pd.Series(np.arange(1, len(every) + 1)).astype(str).str.zfill(6)
    every["item"] = "T" + number
    return every.drop(columns=["wear", "low", "high", "spot"])


def prevalence(homes: pd.DataFrame, items: pd.DataFrame) -> pd.DataFrame:
    """Share of the properties of each archetype that truly hold asbestos of each code and product."""
    part = homes["part"].replace("non-domestic", "common parts")
    many = homes.groupby(["archetype", part]).size().rename("properties").reset_index()
    true = items[items["asbestos"]].drop_duplicates(["home", "code", "product"])
    place = homes.iloc[true["home"]].reset_index(drop=True)
    keys = ["archetype", "part", "contact_code", "product"]
    held = pd.DataFrame(
        {
            "archetype": place["archetype"],
            "part": part.iloc[true["home"]].to_numpy(),
            "contact_code": true["code"].to_numpy(),
            "product": true["product"].to_numpy(),
        }
    )
    count = held.groupby(keys).size().rename("holding").reset_index()
    kinds = held[keys[1:]].drop_duplicates().sort_values(keys[1:])
    every = many.merge(kinds, on="part").merge(count, on=keys, how="left").sort_values(keys, ignore_index=True)
    every["prevalence"] = (every["holding"].fillna(0) / every["properties"]).round(6)
    return every[[*keys, "properties", "prevalence"]]
