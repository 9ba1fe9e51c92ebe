"""What a landlord notes about each property beside its age: oldest part, tenure, construction, occupants.

Shares are judgement, no published source. Nothing here bears on what is truly there: materials are drawn from
the year built alone.
"""

import numpy as np
import pandas as pd
from draw import Flags, Floats, Ints, Texts, codes, pick, stream

OLDEST_STATED, OLDER_HOME, OLDER_BLOCK, OLDER_SINCE_2000 = 0.28, 0.015, 0.08, 5.0
"""Share of buildings whose oldest part is noted; of houses enlarged round an older core; of blocks converted; how
much more often either was what is called built since 2000."""
SYSTEM_BUILT, BLOCK_FACTOR = 0.26, 1.4
"""Share of the archetypes of 1945-74 that were system built; how much likelier flats are."""
UNKNOWN_ARCHETYPE, UNKNOWN_HOME = 0.12, 0.05
"""Share of archetypes, and of single homes, whose construction nobody noted."""
HOUSEHOLDS = {
    "house": [0.14, 0.24, 0.22, 0.22, 0.11, 0.05, 0.015, 0.005],
    "bungalow": [0.58, 0.34, 0.05, 0.02, 0.01, 0, 0, 0],
    "flat": [0.50, 0.28, 0.13, 0.06, 0.02, 0.01, 0, 0],
    "maisonette": [0.25, 0.28, 0.23, 0.15, 0.06, 0.03, 0, 0],
    "sheltered unit": [0.86, 0.14, 0, 0, 0, 0, 0, 0],
}
"""Shares of households of one to eight people, by kind of dwelling."""
OCCUPANTS_UNKNOWN = 0.14
TENURES = {
    "rented": ["Rented", "Rented", "Rented", "Rented", "Social Rent", "Tenanted", "Affordable Rent", "rented"],
    "leasehold": ["Leasehold", "Leasehold", "Leaseholder", "L/hold"],
    "sold": ["Sold", "Sold", "Sold RTB", "Freehold sold"],
    "other": ["Other", "Shared ownership", "Temporary", "Market rent"],
}
"""Words for each tenure, the usual ones more than once."""
TENURE_SHARE = {"house": [0.93, 0.0, 0.04, 0.03], "flat": [0.84, 0.13, 0.0, 0.03], "garage": [0.85, 0.0, 0.0, 0.15]}
"""Shares of the tenures in their order above."""


def buildings(homes: pd.DataFrame) -> Ints:
    """Number of the building of each property: a block, or the property by itself."""
    return codes(homes["block_ref"].where(homes["block_ref"] != "", homes["ref"]))


def _is_home(homes: pd.DataFrame) -> Flags:
    return np.asarray((homes["part"] == "home").to_numpy(dtype=bool))


def _oldest(homes: pd.DataFrame, rng: np.random.RandomState) -> Texts:
    """Year of the oldest part as text: mostly blank or the year built; older where converted or enlarged."""
    building = buildings(homes)
    draws: Floats = rng.random_sample((int(building.max()) + 1, 3))[building]
    block = (homes["block_ref"] != "").to_numpy()
    year = homes["year"].to_numpy()
    late = np.where(block, (year >= 1975) & (homes["part"] != "non-domestic").to_numpy(), year >= 1919)
    share = np.where(block, OLDER_BLOCK, OLDER_HOME) * np.where(year >= 2000, OLDER_SINCE_2000, 1.0)
    older = late & (draws[:, 0] < share) & (homes["part"] != "garage").to_numpy()
    before = np.maximum(year - 8 - np.floor(draws[:, 2] * 70).astype(int), 1880)
    stated = older | (draws[:, 1] < OLDEST_STATED)
    return np.where(stated, np.where(older, before, year).astype(str).astype(object), "")


def _tenure(homes: pd.DataFrame, rng: np.random.RandomState) -> Texts:
    """Tenure in one of the landlord's words; blank for common parts and offices."""
    kind = homes["dwelling"].to_numpy()
    row = np.select([np.isin(kind, ["flat", "maisonette"]), kind == "garage"], [1, 2], 0)
    draws = rng.random_sample((len(homes), 2))
    tenure = pick(draws[:, 0], np.array(list(TENURE_SHARE.values()))[row])
    size = np.array([len(words) for words in TENURES.values()])
    start = np.cumsum(size) - size
    flat = np.array([word for words in TENURES.values() for word in words], dtype=object)
    word = flat[start[tenure] + np.floor(draws[:, 1] * size[tenure]).astype(int)]
    return np.where(_is_home(homes) | (kind == "garage"), word, "")


def _construction(homes: pd.DataFrame, rng: np.random.RandomState) -> Texts:
    """Traditional or system built, a matter of the archetype; blank where it is not known."""
    archetype = codes(homes["archetype"])
    draws = rng.random_sample((int(archetype.max()) + 1, 2))[archetype]
    flat = homes["dwelling"].isin(["flat", "maisonette", "other"]).to_numpy()
    built = homes["archetype"].str[1:3].isin(["45", "55", "65"]).to_numpy()
    garage = (homes["part"] == "garage").to_numpy()
    system = built & ~garage & (draws[:, 0] < SYSTEM_BUILT * np.where(flat, BLOCK_FACTOR, 1.0))
    alone = rng.random_sample(int(buildings(homes).max()) + 1)[buildings(homes)]
    unknown = garage | (draws[:, 1] < UNKNOWN_ARCHETYPE) | (alone < UNKNOWN_HOME)
    return np.where(unknown, "", np.where(system, "System built", "Traditional")).astype(object)


def _occupants(homes: pd.DataFrame, rng: np.random.RandomState) -> Texts:
    """Number of people as text; blank for whatever is no home, and where nobody has asked."""
    kind = homes["dwelling"].to_numpy()
    row = np.select([kind == name for name in HOUSEHOLDS], list(range(len(HOUSEHOLDS))), 0)
    draws = rng.random_sample((len(homes), 2))
    people = pick(draws[:, 0], np.array(list(HOUSEHOLDS.values()))[row]) + 1
    known = _is_home(homes) & (draws[:, 1] >= OCCUPANTS_UNKNOWN)
    return np.where(known, people.astype(str).astype(object), "")


def columns(homes: pd.DataFrame, seed: int) -> dict[str, Texts]:
    """The four further columns of the stock list, as text, in order."""
    rng = stream(seed, 200)
    return {
        "Oldest Part": _oldest(homes, rng),
        "Tenure": _tenure(homes, rng),
        "Construction": _construction(homes, rng),
        "Occupants": _occupants(homes, rng),
    }
