"""The mess planted in the stock list. Every planted row carries the name of its rule."""

from collections.abc import Callable

import land
import numpy as np
import pandas as pd
from mess import Cells, Rows, choose, mark, put


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
        at = choose(stock, home, max(1, round(share * size)), rng)
        put(stock, at, **change(stock.iloc[at]))
        mark(stock, at, rule)
    each = max(1, round(0.0014 * size))
    empty, repeated = (stock.iloc[choose(stock, home, each, rng)].copy() for _ in range(2))
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
        at = choose(stock, home, max(1, round(0.0014 * len(stock))), rng)
        put(stock, at, **cells)
        mark(stock, at, rule)
    return stock
