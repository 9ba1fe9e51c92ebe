"""Who visited which property when, and what they wrote down, in plain terms before any firm's own words.

Surveyors see imperfectly: they miss items, cannot reach some places, presume what they do not sample
(sometimes wrongly) and misjudge damage. Shares are judgement, no published source.
"""

import numpy as np
import pandas as pd
from draw import Flags, Floats, Ints, balanced, beta, codes, spread, stream

START, END = np.datetime64("2021-10-01"), np.datetime64("2026-09-25")
SURVEYED = 0.62
"""Share of homes ever surveyed."""
TARNBRAKE, UMBERLOW, CORBELHYTHE = range(3)
FIRMS = ("Tarnbrake Surveys", "Umberlow Inspection", "Corbelhythe Surveys")
FIRST_FIRM = 0.56
"""Share of runs that the first firm surveys, the second all others, but for what the third has a contract for."""
CONTRACT_AREAS = (2, 4, 5, 8)
CONTRACT_FROM, CONTRACT_SHARE = np.datetime64("2023-04-01"), 0.38
"""Where and from when the third firm surveys so much of what is begun."""
AGAIN_FROM, AGAIN_SHARE = np.datetime64("2024-10-01"), 0.40
"""From when in those areas the third firm surveys anew so much of what the first two have surveyed."""
AWAITED = 0.02
"""Share of the samples whose result the register does not wait for."""
SEVERAL = 0.10
"""Share of the textured coatings from which three samples are taken."""
SEEN = 0.95
"""Share of suspect materials that a first visit notices."""
TYPE_SCORE = {"none": 0, "chrysotile": 1, "amosite": 2, "amosite+chrysotile": 2, "unknown": 3}
PRODUCT_SCORE = {
    "thermal_insulation": 3,
    "sprayed_coating": 3,
    "loose_fill": 3,
    "insulating_board": 2,
    "millboard": 2,
    "textile": 2,
    "gasket_rope": 2,
    "paper_felt": 2,
}
"""Material assessment: product score of the fibrous kinds; the others score 1 (from memory of HSG264)."""
ACM = ("identified", "strongly presumed", "presumed")
BLIND_SPOTS = (
    ("loft", "loft"),
    ("boxing", "bathroom"),
    ("store", "garage"),
    ("meter cupboard", "meter_cupboard"),
    ("under floor", "floor_void"),
    ("airing cupboard", "airing_cupboard"),
    ("garage", "garage"),
)
"""Rooms that surveyors often cannot get into, and the place each hides."""
HARMLESS = ("plasterboard", "plaster", "mmmf", "softboard", "modern vinyl", "tile grout")
"""What surveyors list as not suspect by sight."""
USUAL = {"insulating_board": "amosite", "thermal_insulation": "amosite", "sprayed_coating": "amosite"}
"""The type assumed for a presumed item, chrysotile for the rest."""


def crew_size(firm: int, visits: int) -> int:
    """How many surveyors a firm needs for its visits (about 2,000 each over the five years)."""
    return int(np.clip(visits // 2_000, (6, 5, 4)[firm], 48))


def initials(firm: int, number: int) -> str:
    """Initials of a firm's surveyor."""
    first, last = (("KRMBTL", "VDOHJPNA"), ("SEFWGC", "YTLQMRIB"), ("IJOPDN", "FKUHSEWZ"))[firm]
    return f"{first[number % 6]}.{last[(number + number // 6) % 8]}."


def presumes(surveyor: Ints, firm: Ints) -> Floats:
    """How often each surveyor presumes what could be sampled: from one in twelve to more than half."""
    habits = np.array(
        [[0.08, 0.22, 0.52, 0.14, 0.30, 0.18], [0.16, 0.40, 0.10, 0.26, 0.20, 0.20], [0.12, 0.34, 0.18, 0.24, 0.2, 0.2]]
    )
    return np.asarray(habits[firm, surveyor % 6], dtype=np.float64)


def _workdays(days: "np.typing.NDArray[np.datetime64]") -> "np.typing.NDArray[np.datetime64]":
    """Weekend days moved to the Monday after."""
    return np.busday_offset(days.astype("datetime64[D]"), 0, roll="forward")


def _in_contract(homes: pd.DataFrame) -> Flags:
    """Whether each property stands in an area of the third firm's contract."""
    return np.asarray(homes["area"].isin(CONTRACT_AREAS).to_numpy(dtype=bool))


def _first_visits(homes: pd.DataFrame, rng: np.random.RandomState, third: np.random.RandomState) -> pd.DataFrame:
    """First complete surveys: estate by estate, homes of a run within some weeks of each other."""
    run = homes["run"].to_numpy()
    first = np.unique(run, return_index=True)[1]
    group = homes["band"].to_numpy()
    eager = beta(rng, np.full(len(first), SURVEYED), np.full(len(first), 5.0), group[first])
    chance = np.select(
        [homes["common"], homes["part"] == "garage", homes["part"] == "non-domestic", group == 9],
        [0.9, 0.45, 1.0, 0.08],
        0.08 * SURVEYED + 0.92 * eager[run],
    )
    taken = np.flatnonzero(balanced(rng, chance, group, run))
    firm = np.where(spread(rng, group[first]) < FIRST_FIRM, TARNBRAKE, UMBERLOW)
    begun = spread(rng, np.zeros(len(first), dtype=np.int64)) * ((END - START).astype(int) - 25)
    contract = _in_contract(homes)[first] & (START + begun.astype(int) >= CONTRACT_FROM)
    firm = np.where(contract & (spread(third, contract.astype(np.int64)) < CONTRACT_SHARE), CORBELHYTHE, firm)
    day = START + (begun[run[taken]] + rng.uniform(0, 22, len(taken))).astype(int)
    survey = np.where(rng.random_sample(len(taken)) < 0.13, "refurbishment", "management")
    return pd.DataFrame(
        {"home": taken, "firm": firm[run[taken]], "day": _workdays(day), "survey": survey, "kind": "first"}
    )


def _failed_visits(
    homes: pd.DataFrame, first: pd.DataFrame, rng: np.random.RandomState, third: np.random.RandomState
) -> pd.DataFrame:
    """Visits that did not get in: before some first surveys, and to some homes never surveyed at all."""
    inside = homes["part"].to_numpy()[first["home"]] == "home"
    before = first[inside & (rng.random_sample(len(first)) < 0.15)].copy()
    before["day"] = _workdays(before["day"].to_numpy() - rng.randint(7, 40, len(before)).astype("timedelta64[D]"))
    missed = np.setdiff1d(homes.index[(homes["part"] == "home") & (homes["band"] < 9)], first["home"])
    missed = missed[rng.random_sample(len(missed)) < 0.08]
    day = _workdays(START + rng.randint(30, (END - START).astype(int), len(missed)))
    firm = np.where(rng.random_sample(len(missed)) < FIRST_FIRM, TARNBRAKE, UMBERLOW)
    contract = (
        _in_contract(homes)[missed] & (day >= CONTRACT_FROM) & (third.random_sample(len(missed)) < CONTRACT_SHARE)
    )
    never = pd.DataFrame(
        {"home": missed, "firm": np.where(contract, CORBELHYTHE, firm), "day": day, "survey": "management"}
    )
    failed: pd.DataFrame = pd.concat([before, never], ignore_index=True).assign(kind="failed")
    return failed[failed["day"] >= pd.Timestamp(START)]


def _later_visits(
    homes: pd.DataFrame, first: pd.DataFrame, rng: np.random.RandomState, third: np.random.RandomState
) -> pd.DataFrame:
    """Re-inspections: common parts and offices every year, homes more rarely; mostly by the same firm."""
    part = homes["part"].to_numpy()[first["home"]]
    yearly = (part == "common parts") | (part == "non-domestic")
    found = []
    contract = _in_contract(homes)[first["home"]]
    day, firm, going = first["day"].to_numpy(), first["firm"].to_numpy(), np.ones(len(first), dtype=bool)
    for _ in range(4):
        gap = np.where(yearly, rng.uniform(330, 400, len(first)), rng.uniform(340, 760, len(first)))
        day = _workdays(day + gap.astype(int).astype("timedelta64[D]"))
        going &= (day <= END) & (yearly | (rng.random_sample(len(first)) < 0.74))
        other = rng.random_sample(len(first)) < 0.05
        anew = contract & (day >= AGAIN_FROM) & (firm != CORBELHYTHE) & (third.random_sample(len(first)) < AGAIN_SHARE)
        by = np.select([anew, other], [CORBELHYTHE, (firm + 1) % 2], firm)
        survey = np.where(anew, "management", "re-inspection")
        found.append(first[going].assign(day=day[going], firm=by[going], survey=survey[going]))
    return pd.concat(found, ignore_index=True).assign(kind="again")


def visits(homes: pd.DataFrame, seed: int) -> pd.DataFrame:
    """All visits in order of day and property, each with its firm and surveyor."""
    rng, third = stream(seed, 3), stream(seed, 208)
    first = _first_visits(homes, rng, third)
    others = [visits_of(homes, first, rng, third) for visits_of in (_failed_visits, _later_visits)]
    every = pd.concat([first, *others], ignore_index=True)
    every = every.sort_values(["day", "home", "kind"], kind="stable", ignore_index=True)
    every["visit"] = np.arange(len(every))
    firm = every["firm"].to_numpy(dtype=np.int64)
    visits_of = np.bincount(firm, minlength=len(FIRMS))
    crew = np.array([crew_size(number, int(many)) for number, many in enumerate(visits_of)])[firm]
    week = every["day"].to_numpy().astype("datetime64[W]").astype(int)
    run = homes["run"].to_numpy()[every["home"]]
    every["surveyor"] = (run * 7 + week + (rng.random_sample(len(every)) < 0.3) * rng.randint(0, 9, len(every))) % crew
    return every


def _identify(rows: pd.DataFrame, homes: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Adds identification, own sample and cross-reference, decided once per visit and kind of material."""
    group = codes(rows["visit"].astype(str) + rows["code"] + rows["product"])
    first = np.unique(group, return_index=True)[1]
    leader = np.zeros(len(rows), dtype=bool)
    leader[first] = True
    late = homes["band"].to_numpy()[rows["home"]] >= 7
    habit = presumes(rows["surveyor"].to_numpy(), rows["firm"].to_numpy()) * np.where(late, 0.12, 1.0)
    guess = np.clip(habit * (1.55 - rows["sampled"]) * 1.35 * np.where(rows["asbestos"], 1.0, 0.55), 0.01, 0.75)
    u, v, w = (rng.random_sample(len(first))[group] for _ in range(3))
    presumed = u < guess
    like = ~presumed & (v < np.where(rows["asbestos"], 0.34 - 0.2 * rows["sampled"], 0.10))
    sampled = ~presumed & ~like
    rows["status"] = np.select(
        [sampled & rows["asbestos"], sampled, presumed, like & rows["asbestos"]],
        ["identified", "not detected", "presumed", "strongly presumed"],
        "not suspect",
    )
    rows["own"] = sampled & leader
    follows = sampled & ~leader
    rows.loc[follows & rows["asbestos"], "status"] = "strongly presumed"
    rows["awaited"] = sampled & (w < AWAITED)
    rows.loc[rows["awaited"], "status"] = "presumed"
    several = (rows["product"] == "textured_coating") & (w > 1 - SEVERAL)
    taken = np.where(several, 3, 1)
    number = np.zeros(len(rows), dtype=np.int64)
    for firm in range(len(FIRMS)):
        mine = rows["own"].to_numpy() & (rows["firm"].to_numpy() == firm)
        number[mine] = 1 + np.cumsum(taken[mine]) - taken[mine]
    rows["sample"], rows["taken"] = np.where(sampled, number[first][group], 0), taken
    rows["sampler"] = rows["firm"]
    return _cross_refer(rows, homes, like)


def _cross_refer(rows: pd.DataFrame, homes: pd.DataFrame, like: Flags) -> pd.DataFrame:
    """Strong presumptions without a sample at home point to an earlier positive of the same run, if any."""
    rows["key"] = homes["run"].to_numpy()[rows["home"]].astype(str).astype(object) + rows["code"] + rows["product"]
    own = rows[rows["own"] & (rows["status"] == "identified")].drop_duplicates("key").set_index("key")
    known = rows["key"].map(own["sample"]).fillna(0).astype(int)
    earlier = (rows["key"].map(own["visit"]) < rows["visit"]) & (rows["key"].map(own["firm"]) == rows["firm"])
    rows["sample"] = np.where(like & rows["asbestos"] & earlier, known, rows["sample"])
    return rows.drop(columns="key")


def _stated_types(rows: pd.DataFrame, rng: np.random.RandomState) -> "np.typing.NDArray[np.object_]":
    """Types as written: as analysed, as likely, or unknown for a good part of the presumed."""
    usual = rows["product"].map(USUAL).fillna("chrysotile")
    unsure = (rows["status"] == "presumed") & (rng.random_sample(len(rows)) < 0.5)
    negative = ~rows["status"].isin(ACM)
    return np.select(
        [negative, unsure, (rows["status"] == "presumed") | (rows["types"] == "none")],
        ["none", "unknown", usual],
        rows["types"],
    )


def _read_damage(true: Ints, surveyor: Ints, rng: np.random.RandomState) -> Ints:
    """Damage as one surveyor reads it: one step off now and then, some surveyors more gloomy than others."""
    up = np.array([0.05, 0.03, 0.012, 0])[true] * (1 + 0.5 * (surveyor % 3 - 1))
    down = np.array([0, 0.14, 0.18, 0.15])[true]
    u = rng.random_sample(len(true))
    return np.asarray(true + (u < up).astype(np.int64) - (u > 1 - down).astype(np.int64), dtype=np.int64)


def _score(rows: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Adds the material scores that go with what was read."""
    years = (rows["day"].to_numpy() - rows["first_day"].to_numpy()).astype("timedelta64[D]").astype(float) / 365.25
    true = np.minimum(rows["damage"] + (years > rows["worse_after"]), 3).to_numpy(dtype=np.int64)
    rows["true_damage"] = true
    rows["read"] = _read_damage(true, rows["surveyor"].to_numpy(), rng)
    slip = (rng.random_sample(len(rows)) < 0.05) & rows["surface"].isin(["sealed", "unsealed"])
    swap = np.where(rows["surface"] == "sealed", "unsealed", "sealed")
    rows["face"] = np.where(slip, swap, rows["surface"])
    rows["pt"] = rows["product"].map(PRODUCT_SCORE).fillna(1).astype(int)
    fibrous = rows["pt"] > 1
    textured = np.where(rows["firm"] == UMBERLOW, 0, 1)
    lagged = rows["pt"] == 3
    rows["st"] = np.select(
        [
            rows["face"] == "composite",
            rows["product"] == "textured_coating",
            ~fibrous,
            lagged & (rows["face"] == "unsealed"),
            lagged & (rows["face"] == "sealed"),
            rows["face"] == "unsealed",
        ],
        [0, textured, 1, 3, 2, 2],
        1,
    )
    rows["at"] = rows["stated"].map(TYPE_SCORE).fillna(3).astype(int)
    return rows


def _first_rows(
    items: pd.DataFrame,
    homes: pd.DataFrame,
    first: pd.DataFrame,
    rng: np.random.RandomState,
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Items written at first visits, and the places those visits could not reach."""
    seen = items[rng.random_sample(len(items)) < SEEN]
    rows = first.merge(seen, on="home", how="inner")
    inside = (homes["part"] == "home").to_numpy()[first["home"]] & (homes["band"].to_numpy()[first["home"]] < 9)
    kept = []
    for share in (0.43, 0.08):
        stopped = first[inside & (rng.random_sample(len(first)) < share)]
        which = rng.randint(0, len(BLIND_SPOTS), len(stopped))
        kept.append(
            stopped.assign(
                room=np.array([r for r, _ in BLIND_SPOTS], object)[which],
                place=np.array([p for _, p in BLIND_SPOTS], object)[which],
            )
        )
    shut = pd.concat(kept, ignore_index=True).drop_duplicates(["visit", "room"])
    shut_keys = set(zip(shut["visit"], shut["place"], strict=True))
    open_ = [key not in shut_keys for key in zip(rows["visit"], rows["place"], strict=True)]
    rows = rows[np.array(open_, dtype=bool)].reset_index(drop=True)
    return rows, shut.assign(status="no access", say="none")


def _harmless(homes: pd.DataFrame, first: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Rows that say a material is not suspect by sight: a few in each survey, at least one after 2000."""
    new = homes["band"].to_numpy()[first["home"]] == 9
    count = np.where(new, 1, rng.poisson(1.4, len(first)))
    rows = first.loc[first.index.repeat(count)].copy()
    common = homes["common"].to_numpy()[rows["home"]]
    rooms = np.array(["living room", "kitchen", "bathroom", "hall", "bedroom 1"], object)
    halls = np.array(["stair", "lobby", "bin store", "lobby", "stair"], object)
    drawn = rng.randint(0, 5, len(rows))
    what = np.array(HARMLESS, object)[rng.randint(0, len(HARMLESS), len(rows))]
    return rows.assign(status="not suspect", room=np.where(common, halls[drawn], rooms[drawn]), say=what)


def _again_rows(firsts: pd.DataFrame, again: pd.DataFrame, rng: np.random.RandomState) -> pd.DataFrame:
    """Items looked at once more: those found before, few of the negatives; some places are shut this time."""
    worth = firsts["status"].isin(ACM) | (rng.random_sample(len(firsts)) < 0.12)
    base = firsts[worth & (firsts["status"] != "not suspect")]
    keep = ["home", "visit", "firm", "day", "survey", "kind", "surveyor"]
    rows = again[keep].merge(base.drop(columns=[k for k in keep if k != "home"]), on="home", how="inner")
    rows = rows[rng.random_sample(len(rows)) < 0.97].reset_index(drop=True)
    shut = rng.random_sample(len(rows)) < 0.02
    rows["own"] = False
    rows.loc[shut, ["status", "stated", "say"]] = ["no access", "none", "none"]
    return rows


def rows(homes: pd.DataFrame, items: pd.DataFrame, every: pd.DataFrame, seed: int) -> pd.DataFrame:
    """Every register row in plain terms, in order of visit."""
    rng = stream(seed, 4)
    first = every[every["kind"] == "first"].reset_index(drop=True)
    found, shut = _first_rows(items, homes, first, rng)
    found = _identify(found, homes, rng)
    found["stated"] = _stated_types(found, rng)
    found["first_day"] = found["day"]
    later = _again_rows(found, every[every["kind"] == "again"], rng)
    scored = _score(pd.concat([found, later], ignore_index=True), rng)
    failed = every[every["kind"] == "failed"].assign(status="no access", room="whole home", say="none")
    rest = pd.concat([shut, _harmless(homes, first, rng), failed], ignore_index=True)
    whole = pd.concat([scored, rest], ignore_index=True)
    for column in ("element", "stated", "unit", "product", "code", "item", "face"):
        whole[column] = whole[column].fillna("none" if column in ("stated",) else "").astype(object)
    for column in ("own", "awaited"):
        whole[column] = whole[column].fillna(False).astype(bool)
    for column in ("sample", "taken", "sampler", "reach", "read", "pt", "st", "at", "true_damage"):
        whole[column] = whole[column].fillna(0).astype(np.int64)
    whole["scored"] = whole["status"].isin(ACM)
    return whole.sort_values(["visit", "item"], kind="stable", ignore_index=True)
