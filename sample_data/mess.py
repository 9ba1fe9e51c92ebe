"""The mess planted in the registers. Every planted row carries the name of its rule."""

import numpy as np
import pandas as pd
from draw import Ints, Texts
from meaning import UNHELD
from surveys import CORBELHYTHE, TARNBRAKE, UMBERLOW

Rows = pd.DataFrame
Cells = str | Texts
"""One text for all rows, or one for each."""
SCORES = ("s_pt", "s_damage", "s_st", "s_at")
MEANS = {"s_damage": "means_damage", "s_st": "means_surface"}
"""Sub-scores that a field of their own stands for."""
UNKNOWN_PRODUCTS = {
    "Insulatng bord": "insulating_board|other|",
    "Textrd coatg": "textured_coating|other|",
    "Wobbleboard": "other|",
    "Cemnt shete": "asbestos_cement|other|",
    "Flor tyle": "floor_tile|other|",
    "Grey fibrous lumps": "other|",
}
"""What a product word may mean at best; one misspelt may also be left open."""
UNKNOWN_ROOMS = {
    "Kitchin": "kitchen|other|",
    "Snug": UNHELD,
    "Glory hole": UNHELD,
    "Bredroom": "bedroom|other|",
    "Undercroft nook": UNHELD,
    "Lounje": "living_room|other|",
}
UNKNOWN_CONDITIONS = ("Tired", "Weathered in parts", "Seen better days")
PASTED = ("product", "extent", "unit", "status", "types", "sample", *SCORES, "s_total", "reach", "action", "comment")
"""Columns of the first firm from the material on."""
STRAY_QUOTE = "\ue000"
"""Written as a quotation mark that nothing closes."""
CLONED, CLONED_LEAST = 3, 5
"""Homes listed with their neighbour's findings; materials measured next door at the least."""
DAMAGED = {2: "Medium", 3: "Severe damage"}
"""The third firm's words."""
HOSTILE = {
    "hostile_formula": "=1+1",
    "hostile_markup": "<b>bold</b><script>alert('register')</script>",
    "hostile_markdown": "**x** [a](http://example.invalid) | cell | `code`",
    "hostile_sql": "'; drop table items; --",
    "hostile_long_cell": "Very long remark. " * 400,
    "hostile_line_break": 'First line\nsecond line, with comma and "quotes"',
}


def choose(rows: Rows, fit: "pd.Series[bool]", count: int, rng: np.random.RandomState) -> Ints:
    """Positions of up to `count` fitting rows that nothing has been planted in yet."""
    free = np.flatnonzero((fit & (rows["rule"] == "")).to_numpy())
    return np.sort(rng.permutation(free)[:count]).astype(np.int64)


def put(rows: Rows, at: Ints, **cells: Cells) -> None:
    """Writes cells into the rows at the positions given."""
    for name, value in cells.items():
        column = rows[name].to_numpy(dtype=object, copy=True)
        column[at] = value
        rows[name] = column


def mark(rows: Rows, at: Ints, rule: str) -> None:
    """Adds a rule to the rows at the positions given; several rules are parted by a semicolon."""
    before = rows["rule"].to_numpy(dtype=object)[at]
    put(rows, at, rule=np.where(before == "", rule, before + ";" + rule))


def _put_score(rows: Rows, at: Ints, name: str, cell: str) -> None:
    """Writes one sub-score; what it was may still be known from words or from the product, or be left open."""
    put(rows, at, **{name: cell})
    if name in MEANS:
        either = rows["kind_of_material"].eq("textured_coating") & (name == "s_st")
        left = np.where(either, "0|1|", rows[MEANS[name]] + "|")
        put(rows, at, **{MEANS[name]: left[at]})


def _scores(rows: Rows, rng: np.random.RandomState) -> None:
    """Totals that do not add up, sub-scores left out, sub-scores that cannot be."""
    scored = rows["scored"] & (rows["firm"] != CORBELHYTHE)
    many = int(scored.sum())
    wrong = choose(rows, scored, round(0.020 * many), rng)
    shift = rng.choice([-2, -1, 1, 2], len(wrong))
    totals = np.maximum(rows["s_total"].to_numpy(dtype=object)[wrong].astype(int) + shift, 0)
    wrong = wrong[totals != rows["s_total"].to_numpy(dtype=object)[wrong].astype(int)]
    put(rows, wrong, s_total=np.array([str(t) for t in totals], dtype=object)[: len(wrong)])
    mark(rows, wrong, "wrong_total")
    missing = choose(rows, scored, round(0.030 * many), rng)
    which = rng.randint(0, 4, len(missing))
    for number, name in enumerate(SCORES):
        _put_score(rows, missing[which == number], name, "")
    mark(rows, missing, "missing_sub_score")
    impossible = choose(rows, scored, max(2, round(0.0025 * many)), rng)
    for number, name in enumerate(SCORES):
        _put_score(rows, impossible[number::4], name, "7" if number < 2 else "9")
    mark(rows, impossible, "impossible_sub_score")


def _words(rows: Rows, rng: np.random.RandomState) -> None:
    """Words that no table of terms knows, and text that programs trip over."""
    each = max(1, round(0.002 * len(rows)))
    for column, means, unknown, rule in (
        ("product", "means_product", UNKNOWN_PRODUCTS, "unknown_product_word"),
        ("room", "means_place", UNKNOWN_ROOMS, "unknown_room_word"),
    ):
        at = choose(rows, rows["scored"], each, rng)
        drawn = rng.randint(0, len(unknown), len(at))
        if column == "product":
            put(rows, at, means_surface=(rows["means_surface"].iloc[at] + "|").to_numpy(dtype=object))
        texts, meant = (np.array(list(part), dtype=object)[drawn] for part in (unknown, unknown.values()))
        put(rows, at, **{column: texts, means: meant})
        mark(rows, at, rule)
    for rule, text in HOSTILE.items():
        at = choose(rows, rows["scored"], 2, rng)
        put(rows, at, comment=text)
        mark(rows, at, rule)


def _grave(rows: Rows, rng: np.random.RandomState) -> None:
    """Facts that call for action at once: debris, badly damaged board, damaged lagging, fire and flood."""
    each = max(1, round(0.0004 * len(rows)))
    product, latest = rows["kind_of_material"], ~rows["item"].duplicated(keep="last")

    def plant(rule: str, fit: "pd.Series[bool]", damage: int | None, **cells: Cells) -> None:
        at = choose(rows, rows["scored"] & fit & rows["truly"] & latest, each, rng)
        if damage is not None:
            rest = rows.iloc[at][["s_pt", "s_st", "s_at"]].astype(int).sum(axis=1)
            says = (str(damage), f"{damage} - {'high' if damage == 3 else 'medium'}", DAMAGED[damage])
            words = np.array(says, dtype=object)[rows["firm"].to_numpy()[at]]
            put(
                rows,
                at,
                s_damage=str(damage),
                s_total=(rest + damage).astype(str).to_numpy(dtype=object),
                condition=words,
                means_damage=str(damage),
            )
        put(rows, at, **cells)
        mark(rows, at, rule)

    board, lagging = product == "insulating_board", product == "thermal_insulation"
    plant("act_now_debris", board, 3, product="AIB debris", comment="Debris visible on floor")
    plant("act_now_board_damage_3", board, 3)
    plant("act_now_lagging_damage_2", lagging, 2)
    plant("act_now_fire", product != "", None, comment="Fire damage to ceiling, see photo")
    plant("act_now_flood", product != "", None, comment="Flooded last winter, ceiling down")


def _contradictions(rows: Rows, rng: np.random.RandomState) -> None:
    """Rows of which two cells cannot both be right, or that another row contradicts."""
    product, unit = rows["kind_of_material"], rows["means_unit"]
    firm, scored = rows["firm"].to_numpy(), rows["scored"]
    at = choose(rows, scored & (rows["means_types"] == "chrysotile") & (product == "textured_coating"), 6, rng)
    total = (rows["s_total"].iloc[at].astype(int) + 2).astype(str).to_numpy(dtype=object)
    put(rows, at, types="Crocidolite", s_at="3", s_total=total, means_types="crocidolite")
    mark(rows, at, "type_impossible_for_product")
    at = choose(rows, (rows["means_status"] == "not_detected") & (rows["item"] != ""), 8, rng)
    put(rows, at, types="Chrysotile", means_types="chrysotile", means_status="presumed", means_surface=UNHELD)
    mark(rows, at, "negative_beside_type")
    for wrong, fit in (("m", product.isin(["floor_tile", "textured_coating"]) & (unit == "m2")), ("m2", unit == "m")):
        at = choose(rows, scored & fit & (rows["unit"] != ""), 4, rng)
        put(rows, at, unit=np.where(firm[at] == UMBERLOW, "lm" if wrong == "m" else "sqm", wrong), means_unit=wrong)
        mark(rows, at, "extent_in_wrong_unit")
    seen_again = scored & rows["item"].duplicated(keep="last") & (rows["item"] != "")
    at = choose(rows, seen_again, 6, rng)
    put(rows, at, comment="Removed after the survey, clearance certificate on file", action="Removed")
    mark(rows, at, "removed_seen_again")
    third = scored & (rows["firm"] == CORBELHYTHE)
    at = choose(rows, third, 5, rng)
    words = np.array(UNKNOWN_CONDITIONS, dtype=object)[rng.randint(0, len(UNKNOWN_CONDITIONS), len(at))]
    put(rows, at, condition=words, means_damage="")
    mark(rows, at, "unknown_condition_word")
    at = choose(rows, third & rows["risk"].isin(["Very low", "Low"]), 6, rng)
    put(rows, at, risk="High")
    mark(rows, at, "wrong_risk_band")


def _shifted(rows: Rows, rng: np.random.RandomState) -> None:
    """Rows of the first firm that somebody pasted one column too far right, and rows with a quote never closed."""
    plain = rows["scored"] & (rows["firm"] == TARNBRAKE)
    at = choose(rows, plain & (rows["sample"] != ""), 5, rng)
    moved = rows[list(PASTED)].iloc[at].to_numpy(dtype=object)
    put(rows, at, **{name: moved[:, number] for number, name in enumerate(PASTED[1:])}, **{PASTED[0]: ""})
    mark(rows, at, "columns_shifted")
    at = choose(rows, plain, 5, rng)
    put(rows, at, comment=STRAY_QUOTE + "6 inch flue behind panel")
    mark(rows, at, "stray_quote")


def _cloned(rows: Rows, rng: np.random.RandomState) -> Rows:
    """Homes that nobody visited, listed with all that was found next door, on its day."""
    spoilt = rows["visit"].isin(rows.loc[rows["rule"] != "", "visit"])
    first = rows[(rows["firm"] == TARNBRAKE) & ~spoilt & (rows["kind"] == "first")]
    measured = first[first["scored"] & (first["extent"] != "") & (first["unit"] != "")]
    rich = measured.groupby("visit")["room"].nunique()
    visits = first.drop_duplicates("visit").set_index("visit")
    times = rows.groupby("home")["visit"].nunique()
    wrong_refs = rows.loc[rows["rule"].str.contains("reference_of_another"), "ref"]
    fits = visits["run"].shift(-1).eq(visits["run"]) & visits["home"].shift(-1).map(times).eq(1)
    fits &= rich.reindex(visits.index, fill_value=0).ge(CLONED_LEAST) & ~visits["ref"].isin(wrong_refs)
    fit = np.flatnonzero(fits)
    for number in np.sort(rng.permutation(fit)[:CLONED]):
        model, copied = visits.index[number], visits.index[number + 1]
        own = rows[rows["visit"] == copied].iloc[0]
        clones = rows[rows["visit"] == model].copy()
        for name in ("ref", "uprn", "address", "postcode", "home", "visit", "means_property"):
            clones[name] = own[name]
        clones = clones.assign(rule="cloned_home", item="")
        rows = pd.concat([rows[rows["visit"] != copied], clones], ignore_index=True)
    return rows.sort_values("visit", kind="stable", ignore_index=True)


def _visits(rows: Rows, rng: np.random.RandomState) -> None:
    """Whole visits spoilt: properties not in the stock list, dates that cannot be, damaged or absent keys."""
    visit, firm = rows["visit"], rows["firm"]

    def some(fit: "pd.Series[bool]", share: float, least: int) -> Ints:
        every = visit[fit].drop_duplicates().to_numpy(copy=True)
        chosen = rng.permutation(every)[: max(least, round(share * len(every)))]
        return np.flatnonzero(visit.isin(chosen).to_numpy()).astype(np.int64)

    unknown = some(visit >= 0, 0.005, 2)
    number = visit.to_numpy()[unknown] % 90 + 10
    put(
        rows,
        unknown,
        ref=np.array([f"ZX{n}999" for n in number], dtype=object),
        uprn="",
        postcode="",
        address=np.array([f"{n} Nowhere Row, Vanished Sand" for n in number], dtype=object),
    )
    mark(rows, unknown, "unknown_property")
    another = some((firm == TARNBRAKE) & (rows["rule"] == "") & (rows["uprn"] != ""), 0.003, 3)
    following = rows.drop_duplicates("home").sort_values("home")["ref"]
    next_ref = dict(zip(following, np.roll(following.to_numpy(dtype=object), -1), strict=True))
    put(rows, another, ref=rows["ref"].iloc[another].map(next_ref).to_numpy(dtype=object))
    mark(rows, another, "reference_of_another")
    known = rows["rule"] == ""
    for fit, share, cells, rule in (
        (known & (firm == TARNBRAKE), 0.02, {"ref": ""}, "reference_left_out"),
        (known & (firm == UMBERLOW), 0.12, {"ref": ""}, "address_only"),
        (known & (firm == TARNBRAKE) & (rows["uprn"] != ""), 0.006, {"uprn": "9.999E+11"}, "damaged_uprn"),
        (visit >= 0, 0.0025, {"date": "31/02/2024", "means_day": ""}, "impossible_date"),
        (visit >= 0, 0.0015, {"date": "14/06/2062", "means_day": ""}, "date_in_the_future"),
    ):
        at = some(fit & ~rows["rule"].str.contains("unknown_property|reference_|date"), share, 1)
        put(rows, at, **cells)
        mark(rows, at, rule)


def _duplicates(rows: Rows, rng: np.random.RandomState) -> Rows:
    """Some rows written twice, the second right after the first."""
    inner = rows["visit"].duplicated()
    at = choose(rows, inner & rows["scored"], max(2, round(0.003 * len(rows))), rng)
    again = rows.iloc[at].assign(rule="exact_duplicate")
    return pd.concat([rows, again]).sort_index(kind="stable").reset_index(drop=True)


def spoil(rows: Rows, rng: np.random.RandomState) -> Rows:
    """Plants all of it; rows come back in order, with a date column of text where the date is no date."""
    rows = rows.assign(date="")
    _grave(rows, rng)
    _scores(rows, rng)
    _words(rows, rng)
    _contradictions(rows, rng)
    _shifted(rows, rng)
    rows = _duplicates(rows, rng)
    _visits(rows, rng)
    return _cloned(rows, rng)
