"""The mess planted in the registers and the stock list. Every planted row carries the name of its rule."""

from collections.abc import Callable

import land
import numpy as np
import pandas as pd
from draw import Ints, Texts

Rows = pd.DataFrame
Cells = str | Texts
"""One text for all rows, or one for each."""
SCORES = ("s_pt", "s_damage", "s_st", "s_at")
UNKNOWN_PRODUCTS = (
    "Insulatng bord",
    "Textrd coatg",
    "Wobbleboard",
    "Cemnt shete",
    "Flor tyle",
    "Grey fibrous lumps",
)
UNKNOWN_ROOMS = ("Kitchin", "Snug", "Glory hole", "Bredroom", "Undercroft nook", "Lounje")
HOSTILE = {
    "hostile_formula": "=1+1",
    "hostile_markup": "<b>bold</b><script>alert('register')</script>",
    "hostile_markdown": "**x** [a](http://example.invalid) | cell | `code`",
    "hostile_sql": "'; drop table items; --",
    "hostile_long_cell": "Very long remark. " * 400,
    "hostile_line_break": 'First line\nsecond line, with comma and "quotes"',
}


def _choose(rows: Rows, fit: "pd.Series[bool]", count: int, rng: np.random.RandomState) -> Ints:
    """Positions of up to `count` fitting rows that nothing has been planted in yet."""
    free = np.flatnonzero((fit & (rows["rule"] == "")).to_numpy())
    return np.sort(rng.permutation(free)[:count]).astype(np.int64)


def _put(rows: Rows, at: Ints, **cells: Cells) -> None:
    """Writes cells into the rows at the positions given."""
    for name, value in cells.items():
        column = rows[name].to_numpy(dtype=object, copy=True)
        column[at] = value
        rows[name] = column


def _mark(rows: Rows, at: Ints, rule: str) -> None:
    """Adds a rule to the rows at the positions given; several rules are parted by a semicolon."""
    before = rows["rule"].to_numpy(dtype=object)[at]
    _put(rows, at, rule=np.where(before == "", rule, before + ";" + rule))


def _scores(rows: Rows, rng: np.random.RandomState) -> None:
    """Totals that do not add up, sub-scores left out, sub-scores that cannot be."""
    scored = rows["scored"]
    many = int(scored.sum())
    wrong = _choose(rows, scored, round(0.020 * many), rng)
    shift = rng.choice([-2, -1, 1, 2], len(wrong))
    totals = np.maximum(rows["s_total"].to_numpy(dtype=object)[wrong].astype(int) + shift, 0)
    wrong = wrong[totals != rows["s_total"].to_numpy(dtype=object)[wrong].astype(int)]
    _put(rows, wrong, s_total=np.array([str(t) for t in totals], dtype=object)[: len(wrong)])
    _mark(rows, wrong, "wrong_total")
    missing = _choose(rows, scored, round(0.030 * many), rng)
    which = rng.randint(0, 4, len(missing))
    for number, name in enumerate(SCORES):
        _put(rows, missing[which == number], **{name: ""})
    _mark(rows, missing, "missing_sub_score")
    impossible = _choose(rows, scored, max(2, round(0.0025 * many)), rng)
    for number, name in enumerate(SCORES):
        _put(rows, impossible[number::4], **{name: "7" if number < 2 else "9"})
    _mark(rows, impossible, "impossible_sub_score")


def _words(rows: Rows, rng: np.random.RandomState) -> None:
    """Words that no table of terms knows, and text that programs trip over."""
    each = max(1, round(0.002 * len(rows)))
    for column, unknown, rule in (
        ("product", UNKNOWN_PRODUCTS, "unknown_product_word"),
        ("room", UNKNOWN_ROOMS, "unknown_room_word"),
    ):
        at = _choose(rows, rows["scored"], each, rng)
        _put(rows, at, **{column: np.array(unknown, dtype=object)[rng.randint(0, len(unknown), len(at))]})
        _mark(rows, at, rule)
    for rule, text in HOSTILE.items():
        at = _choose(rows, rows["scored"], 2, rng)
        _put(rows, at, comment=text)
        _mark(rows, at, rule)


def _grave(rows: Rows, rng: np.random.RandomState) -> None:
    """Facts that call for action at once: debris, badly damaged board, damaged lagging, fire and flood."""
    each = max(1, round(0.0004 * len(rows)))
    product = rows["kind_of_material"]

    def plant(rule: str, fit: "pd.Series[bool]", damage: int | None, **cells: Cells) -> None:
        at = _choose(rows, rows["scored"] & fit & rows["truly"], each, rng)
        if damage is not None:
            rest = rows.iloc[at][["s_pt", "s_st", "s_at"]].astype(int).sum(axis=1)
            words = np.where(rows["a"].to_numpy()[at], str(damage), f"{damage} - {'high' if damage == 3 else 'medium'}")
            _put(
                rows,
                at,
                s_damage=str(damage),
                s_total=(rest + damage).astype(str).to_numpy(dtype=object),
                condition=words,
            )
        _put(rows, at, **cells)
        _mark(rows, at, rule)

    board, lagging = product == "insulating_board", product == "thermal_insulation"
    plant("act_now_debris", board, 3, product="AIB debris", comment="Debris visible on floor")
    plant("act_now_board_damage_3", board, 3)
    plant("act_now_lagging_damage_2", lagging, 2)
    plant("act_now_fire", product != "", None, comment="Fire damage to ceiling, see photo")
    plant("act_now_flood", product != "", None, comment="Flooded last winter, ceiling down")


def _visits(rows: Rows, rng: np.random.RandomState) -> None:
    """Whole visits spoilt: properties not in the stock list, dates that cannot be, damaged or absent keys."""
    visit, firm_a = rows["visit"], rows["a"]

    def some(fit: "pd.Series[bool]", share: float, least: int) -> Ints:
        every = visit[fit].drop_duplicates().to_numpy()
        chosen = rng.permutation(every)[: max(least, round(share * len(every)))]
        return np.flatnonzero(visit.isin(chosen).to_numpy()).astype(np.int64)

    unknown = some(visit >= 0, 0.005, 2)
    number = visit.to_numpy()[unknown] % 90 + 10
    _put(
        rows,
        unknown,
        ref=np.array([f"ZX{n}999" for n in number], dtype=object),
        uprn="",
        postcode="",
        address=np.array([f"{n} Nowhere Row, Vanished Sand" for n in number], dtype=object),
    )
    _mark(rows, unknown, "unknown_property")
    known = rows["rule"] == ""
    for fit, share, cells, rule in (
        (known & firm_a, 0.02, {"ref": ""}, "reference_left_out"),
        (known & ~firm_a, 0.12, {"ref": ""}, "address_only"),
        (known & firm_a & (rows["uprn"] != ""), 0.006, {"uprn": "9.999E+11"}, "damaged_uprn"),
        (visit >= 0, 0.0025, {"date": "31/02/2024"}, "impossible_date"),
        (visit >= 0, 0.0015, {"date": "14/06/2062"}, "date_in_the_future"),
    ):
        at = some(fit & ~rows["rule"].str.contains("unknown_property|reference_left_out|date"), share, 1)
        _put(rows, at, **cells)
        _mark(rows, at, rule)


def _duplicates(rows: Rows, rng: np.random.RandomState) -> Rows:
    """Some rows written twice, the second right after the first."""
    inner = rows["visit"].duplicated()
    at = _choose(rows, inner & rows["scored"], max(2, round(0.003 * len(rows))), rng)
    again = rows.iloc[at].assign(rule="exact_duplicate")
    return pd.concat([rows, again]).sort_index(kind="stable").reset_index(drop=True)


def spoil(rows: Rows, rng: np.random.RandomState) -> Rows:
    """Plants all of it; rows come back in order, with a date column of text where the date is no date."""
    rows = rows.assign(date="")
    _grave(rows, rng)
    _scores(rows, rng)
    _words(rows, rng)
    rows = _duplicates(rows, rng)
    _visits(rows, rng)
    return rows


def spoil_stock(stock: Rows, rng: np.random.RandomState) -> Rows:
    """Plants the faults of the stock list (a table of text cells with a rule column)."""
    size, home = len(stock), stock["Part"] == "home"
    kinds: list[tuple[str, float, Callable[[Rows], dict[str, Cells]]]] = [
        ("blank_area", 0.008, lambda part: {"Area": ""}),
        ("blank_year", 0.007, lambda part: {"Year Built": ""}),
        (
            "area_disagrees",
            0.002,
            lambda part: {
                "Area": part["Area"].map(dict(zip(land.AREAS, land.AREAS[1:] + land.AREAS[:1], strict=True))).to_numpy()
            },
        ),
        ("no_coordinates", 0.004, lambda part: {"Easting": "", "Northing": ""}),
        ("impossible_uprn", 0.0015, lambda part: {"UPRN": (part["UPRN"] + "000").to_numpy()}),
    ]
    for rule, share, change in kinds:
        at = _choose(stock, home, max(1, round(share * size)), rng)
        _put(stock, at, **change(stock.iloc[at]))
        _mark(stock, at, rule)
    each = max(1, round(0.0014 * size))
    empty, repeated = (stock.iloc[_choose(stock, home, each, rng)].copy() for _ in range(2))
    empty = empty.assign(Address="Plot, " + empty["Address"], UPRN="", rule="empty_reference")
    empty["Property Ref"] = ""
    repeated = repeated.assign(UPRN="", Address="Annexe, " + repeated["Address"], rule="repeated_reference")
    return pd.concat([stock, empty, repeated]).sort_index(kind="stable").reset_index(drop=True)


def spoil_particulars(stock: Rows, rng: np.random.RandomState) -> Rows:
    """Plants what cannot be in the later columns; where the year built is blank, so is the oldest part."""
    stock["Oldest Part"] = stock["Oldest Part"].where(stock["Year Built"] != "", "")
    home = (stock["Part"] == "home") & (stock["Year Built"] != "")
    for rule, cells in (
        ("oldest_part_after_year_built", {"Oldest Part": "2019"}),
        ("impossible_occupants", {"Occupants": "99"}),
    ):
        at = _choose(stock, home, max(1, round(0.0014 * len(stock))), rng)
        _put(stock, at, **cells)
        _mark(stock, at, rule)
    return stock
