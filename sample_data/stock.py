"""The stock: what stands where, built when, of what kind.

Homes are laid out in runs, a run being homes of one archetype on one street (or one block of flats). The
table of runs comes first; each run is then spread out into its properties.
"""

import ground
import land
import numpy as np
import pandas as pd
from draw import Texts, pick, spread, stream, table

BANDS = (
    "<1919",
    "1919-44",
    "1945-54",
    "1955-64",
    "1965-74",
    "1975-80",
    "1981-85",
    "1986-92",
    "1993-99",
    "2000-15",
)
"""Build bands; the first nine are those of tables/presence.csv."""
BAND_FROM = np.array([1890, 1919, 1945, 1955, 1965, 1975, 1981, 1986, 1993, 2000])
BAND_TO = np.array([1914, 1938, 1954, 1964, 1974, 1980, 1985, 1992, 1999, 2015])
BAND_SHARE = np.array([0.06, 0.12, 0.13, 0.17, 0.21, 0.09, 0.06, 0.06, 0.06, 0.04])
"""Share of runs by band (judgement: the usual mix of British social housing, 1919-80 the bulk of it)."""

KINDS = ("terrace", "semi", "bungalow", "block", "maisonettes", "garages", "sheltered", "office")
DWELLING = np.array(["house", "house", "bungalow", "flat", "maisonette", "garage", "sheltered unit", "office"], object)
KIND_SHARE = np.array(
    [
        [0.85, 0.00, 0.00, 0.15, 0.00, 0.00],
        [0.45, 0.42, 0.03, 0.10, 0.00, 0.00],
        [0.25, 0.45, 0.08, 0.16, 0.03, 0.03],
        [0.30, 0.22, 0.12, 0.22, 0.07, 0.07],
        [0.34, 0.06, 0.14, 0.30, 0.08, 0.08],
        [0.32, 0.12, 0.14, 0.30, 0.06, 0.06],
        [0.30, 0.20, 0.15, 0.35, 0.00, 0.00],
        [0.30, 0.25, 0.15, 0.30, 0.00, 0.00],
        [0.30, 0.30, 0.10, 0.30, 0.00, 0.00],
        [0.35, 0.20, 0.10, 0.35, 0.00, 0.00],
    ]
)
"""Share of the first six kinds among the runs of each band (judgement)."""
KIND_LEAST = np.array([6, 6, 5, 7, 7, 6, 21, 1])
KIND_MOST = np.array([15, 13, 11, 25, 17, 15, 31, 1])
"""Properties in a run, common parts included."""
HAS_COMMON_PARTS = np.array([False, False, False, True, True, False, True, False])
SHELTERED, OFFICE = KINDS.index("sheltered"), KINDS.index("office")

_SIDE = ("", "Upper ", "Lower ", "North ", "South ", "Old ")
_LETTERS = "ABDEFGHJLNPQRSTUWXYZ"


def _runs(size: int, rng: np.random.RandomState) -> pd.DataFrame:
    """One row a run: street, place, band, kind, size; special ones first, cut at the size wanted."""
    count = size // 7 + 12
    joins = rng.random_sample(count) < 0.3
    joins[1:] &= ~joins[:-1]
    joins[0] = False
    street = np.cumsum(~joins) - 1
    places = land.streets(int(street[-1]) + 1, rng)
    outward = places["from_harbour"].to_numpy() + rng.normal(0, 1_900, len(places))
    standing = (np.argsort(np.argsort(outward)) + 0.5) / len(places)
    places["band"] = pick(standing, BAND_SHARE)
    runs = places.iloc[street].reset_index(drop=True).assign(street=street, second=joins)
    band = runs["band"].to_numpy()
    kind = pick(spread(rng, band), KIND_SHARE[band])
    alone = ~joins & ~np.append(joins[1:], False)
    kind[np.flatnonzero(alone & (band == 4))[: max(1, size // 1500)]] = SHELTERED
    kind[np.flatnonzero(alone & (band == 3))[: max(2, size // 750)]] = OFFICE
    runs["kind"], runs["shared"] = kind, ~alone
    u = spread(rng, kind)
    runs["size"] = KIND_LEAST[kind] + np.floor(u * (KIND_MOST - KIND_LEAST + 1)[kind]).astype(int)
    special = runs.groupby("street")["kind"].transform("max") >= SHELTERED
    runs = runs.iloc[np.argsort(~special.to_numpy(), kind="stable")].reset_index(drop=True)
    before = runs["size"].cumsum() - runs["size"]
    runs["size"] = np.minimum(runs["size"], size - before)
    return runs[runs["size"] > 0].copy()


def _archetypes(runs: pd.DataFrame, rng: np.random.RandomState) -> "pd.Series[str]":
    """Archetype of each run: kind letter, first year of the band, pattern number; some 2.5 runs share one."""
    cell = runs["kind"].to_numpy() * len(BANDS) + runs["band"].to_numpy()
    patterns = np.clip(np.bincount(cell)[cell] / 2.5, 1, 9)
    number = np.floor(spread(rng, cell) * np.round(patterns)).astype(int) + 1
    letters = np.array(["T", "S", "B", "F", "M", "G", "H", "O"], object)[runs["kind"].to_numpy()]
    years = BAND_FROM[runs["band"].to_numpy()] % 100
    return pd.Series([f"{a}{b:02d}-{n}" for a, b, n in zip(letters, years, number, strict=True)], index=runs.index)


def _street_names(runs: pd.DataFrame, rng: np.random.RandomState) -> "pd.Series[str]":
    """A name for each street, used once in its area."""
    parts = table("street_names").groupby("part")["text"].apply(list)
    front, back, way = parts["front"], parts["back"], parts["way"]
    stems = rng.permutation(len(front) * len(back))
    nth = runs.groupby("area")["street"].transform(lambda street: pd.factorize(street)[0])
    number = nth.to_numpy() * len(land.AREAS) + runs["area"].to_numpy()
    turn = number // len(stems)
    stem, kind, side = stems[number % len(stems)], (number + turn) % len(way), turn // len(way) % len(_SIDE)
    names = [
        f"{_SIDE[d]}{front[s % len(front)]}{back[s // len(front)]} {way[k]}"
        for s, k, d in zip(stem, kind, side, strict=True)
    ]
    return pd.Series(names, index=runs.index, dtype=object)


def _postcodes(runs: pd.DataFrame) -> "pd.Series[str]":
    """One postcode a run, under letters (QV) that no postcode begins with."""
    nth = runs.groupby("area").cumcount().to_numpy()
    n = len(_LETTERS)
    return pd.Series(
        [
            f"QV{a + 1} {k % 10}{_LETTERS[k * 7 // 10 % n]}{_LETTERS[(k // (10 * n) + 3 * k) % n]}"
            for a, k in zip(runs["area"], nth, strict=True)
        ],
        index=runs.index,
        dtype=object,
    )


def _addresses(homes: pd.DataFrame) -> Texts:
    """Address of each property, without its postcode."""
    kind = homes["kind"].to_numpy()
    number = (homes.groupby("street").cumcount() + 1).to_numpy().astype(str).astype(object)
    nth = homes["nth"].to_numpy().astype(str).astype(object)
    block = homes["block_name"].to_numpy(dtype=object)
    street, area = homes["street_name"].to_numpy(dtype=object), homes["area_name"].to_numpy(dtype=object)
    garage_no = (homes["nth"].to_numpy() + 1).astype(str).astype(object)
    lead = np.select(
        [
            homes["common"],
            kind == SHELTERED,
            HAS_COMMON_PARTS[kind],
            kind == KINDS.index("garages"),
            kind == OFFICE,
        ],
        [
            "Common parts, " + block + ", ",
            "Unit " + nth + ", " + block + ", ",
            "Flat " + nth + ", " + block + ", ",
            "Garage " + garage_no + ", ",
            block + ", ",
        ],
        number + " ",
    )
    return np.asarray(lead + street + ", " + area, dtype=object)


def _blocks(runs: pd.DataFrame) -> tuple[Texts, Texts]:
    """Reference and name of the block of each run; empty for houses and garages."""
    in_block = HAS_COMMON_PARTS[runs["kind"]] | (runs["kind"].to_numpy() == OFFICE)
    number = np.cumsum(in_block)
    stem = runs["street_name"].str.rsplit(" ", n=1).str[0]
    title = np.select(
        [runs["kind"] == SHELTERED, runs["kind"] == OFFICE, runs["second"]],
        ["Lodge", "Office", "House"],
        "Court",
    )
    ref = np.char.add("BK", np.char.zfill(number.astype(str), 4))
    return np.where(in_block, ref, "").astype(object), np.where(in_block, stem + " " + title, "").astype(object)


def properties(size: int, seed: int) -> pd.DataFrame:
    """Every property as it is, one row each, with the run it belongs to."""
    rng = stream(seed, 1)
    runs = _runs(size, rng)
    runs["archetype"] = _archetypes(runs, rng)
    runs["street_name"] = _street_names(runs, rng)
    runs["postcode"] = _postcodes(runs)
    runs["area_name"] = np.array(land.AREAS, object)[runs["area"]]
    band = runs["band"].to_numpy()
    runs["year"] = BAND_FROM[band] + np.floor(spread(rng, band) * (BAND_TO - BAND_FROM + 1)[band]).astype(int)
    runs["block_ref"], runs["block_name"] = _blocks(runs)
    runs["run"] = np.arange(len(runs))
    runs = ground.lay_out(runs, seed)
    homes = runs.loc[runs.index.repeat(runs["size"])].reset_index(drop=True)
    homes["nth"] = homes.groupby("run").cumcount()
    kind = homes["kind"].to_numpy()
    homes["common"] = HAS_COMMON_PARTS[kind] & (homes["nth"] == 0)
    homes["part"] = np.select(
        [homes["common"], kind == KINDS.index("garages"), kind == OFFICE],
        ["common parts", "garage", "non-domestic"],
        "home",
    )
    homes["dwelling"] = np.where(homes["common"], "other", DWELLING[kind])
    homes = ground.place(homes, seed)
    homes["address"] = _addresses(homes)
    homes["ref"] = np.char.add("MH", np.char.zfill((np.arange(len(homes)) + 1).astype(str), 6))
    homes["uprn"] = np.where(homes["common"], "", (999_900_000_001 + 3 * np.arange(len(homes))).astype(str))
    return homes
