"""Which part of the portfolio a page shows: chosen above it, kept in its address, and said in words."""

import streamlit as st

from dashboard import data, parts

ANY = "any"
FILTERS = {
    "area": "Area",
    "dwelling_type": "Type",
    "era": "Oldest part built",
    "product": "Product",
    "work_type": "Activity",
    "known": "Recorded or possible",
}
ORDERS = ("score", "exposure")


def choose(is_ordered: bool) -> tuple[dict[str, str | None], str]:
    """What to show, and in which order where that is asked; all of it stands in the page's address."""
    values = data.ask("filter_values")
    words = {
        name: {ANY: ANY} | {row.value: row.in_words for row in data.each(values[values["filter"] == name])}
        for name in FILTERS
    }
    for name, label in FILTERS.items():
        parts.left_out(name, label, words[name].values())
    if is_ordered:
        parts.left_out("by", "Order by", ORDERS)
    with st.container(key="filters"):
        columns = st.columns(len(FILTERS) + is_ordered, vertical_alignment="bottom")
    chosen: dict[str, str | None] = {}
    for column, (name, label) in zip(columns, FILTERS.items(), strict=False):
        with column:
            picked: str = st.selectbox(
                label, list(words[name]), format_func=words[name].__getitem__, key=name, bind="query-params"
            )
        chosen[name] = None if picked == ANY else picked
    order = ORDERS[0]
    if is_ordered:
        with columns[-1]:
            order = st.selectbox("Order by", ORDERS, key="by", bind="query-params")
    return chosen, order


def is_narrowed(chosen: dict[str, str | None]) -> bool:
    """Whether only a part of what buildings hold counts."""
    return any(chosen[name] for name in ("product", "work_type", "known"))


def in_words(chosen: dict[str, str | None]) -> str:
    """What of a building counts, and what cannot be narrowed to it; nothing where no filter bears on that."""
    of_product = " of this product" if chosen["product"] else ""
    met = " that this activity meets" if chosen["work_type"] else ""
    said = []
    if of_product or met:
        said.append(
            f"Scores, reasons, counts and marks are of the items{of_product}{met} alone; "
            "whether a building was surveyed is of all of it."
        )
    if chosen["dwelling_type"] or chosen["era"]:
        said.append("Type and oldest part choose whole buildings, with every home and part in them.")
    return " ".join(said)
