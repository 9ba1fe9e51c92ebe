"""Which items cannot wait, where they stand and why."""

from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import addresses, data, filters, parts, scores

LISTED = 100
COUNTED = {"item_id": "item", "building_ref": "building"}
RULE = (
    "Whatever the score: visible debris; high damage (3); medium damage (2) on lagging or spray, or on insulating "
    "board within reach; fire, flood or vandalism. In the order in which to act: by total score (material and "
    "priority, of 24), which each item's figure says, then material score, which its colour says (the more it "
    "stands out the higher), then damage. The page Portfolio puts buildings with equal totals in the order of all "
    "their exposure."
)


def show() -> None:
    """The page: sentence, filters, list."""
    above = st.container()
    chosen, _ = filters.choose(is_ordered=False)
    found = data.ask("act_now", damage=None, **chosen)
    with above:
        sentences(found, chosen)
    if not found.empty:
        listed(found, parts.listed(LISTED), "act_now")
    unscored(data.ask("act_now", damage="unscored", **chosen))
    parts.basis(["act_now"], ["items", "item_ranking"])


def sentences(found: pd.DataFrame, chosen: dict[str, str | None]) -> None:
    """How many, by which rule, in which order."""
    items, buildings = (parts.counted(found[key].nunique(), word) for key, word in COUNTED.items())
    first = f"{items} in {buildings} to act on now." if len(found) else "Nothing recorded needs action now."
    if any(chosen.values()):
        first = f"Of what is chosen: {parts.within(first)}"
    parts.write(parts.heading(first, 1), parts.paragraph(RULE, "quiet"))
    if chosen["known"] == "possible":
        parts.notice("What is only possible is no item, so none of it is listed here.")
    parts.write(parts.paragraph(filters.in_words(chosen), "quiet"))


def unscored(found: pd.DataFrame) -> None:
    """Items that no rule can be asked about, as nobody scored their damage."""
    if found.empty:
        return
    label = f"May belong here: {parts.counted(len(found), 'item')} whose damage nobody scored"
    parts.folded(label, "unscored", lambda: listed(found, len(found), "unscored"))


def listed(found: pd.DataFrame, shown: int, name: str) -> None:
    """Items, each a link to itself, with its home or part, a link to the building, and why."""
    parts.write(
        parts.table(
            ["Score", "Item", "Extent", "Asbestos", "Building", "Home or part of it", "Place", "Why now", "Last seen"],
            [
                (
                    scores.total_chip(
                        row.total_score, row.has_total, row.total_low, row.total_high, row.material_score
                    ),
                    to(row, row.product_in_words, property=row.property_ref, item=row.item_id),
                    "" if pd.isna(row.extent) else parts.extent(row.extent, row.extent_unit),
                    row.asbestos_in_words,
                    to(row, row.building_in_area),
                    to(row, row.address, property=row.property_ref) if row.is_part else "",
                    row.place_in_words,
                    row.act_now_why,
                    parts.day(row.last_surveyed_on),
                )
                for row in data.each(found.head(shown))
            ],
        )
    )
    parts.more(min(shown, len(found)), len(found), LISTED)
    parts.as_csv(f"All as csv ({parts.counted(len(found), 'item')})", lambda: found, name)


def to(row: Any, words: str, **parameters: str) -> Markup:
    """A link to the building of an item, or to what the parameters say of it."""
    where = parts.link("building", building=row.building_ref, **parameters, **addresses.way_back("act-now"))
    return Markup('<a href="{}" target="_self">{}</a>').format(where, words)


show()
