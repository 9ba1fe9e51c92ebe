"""What each page's address said last while it was open, so that the tabs lead back to it; a link says its own."""

from typing import Any
from urllib.parse import parse_qsl, urlencode

import streamlit as st

KEPT, SHOWN = "addresses", "page shown"
LISTS = ("", "act-now")
"""The pages that list what a building's page may come from."""


def recall(page: Any) -> None:
    """Put what was chosen on a page back into its address where a tab leads there, which leaves all of it out."""
    before = st.session_state.get(SHOWN, page.url_path)
    st.session_state[SHOWN] = page.url_path
    kept = st.session_state.get(KEPT, {})
    said = kept.get(page.url_path, {})
    if before != page.url_path:
        for name in {*kept.get(before, {}), *said}:  # two pages may choose by one name, and the address decides
            st.session_state.pop(name, None)
        if said and not st.query_params:
            st.switch_page(page, query_params=said)
    keep(page)


def keep(page: Any) -> None:
    """Note what the page's address says, and the list that a building's page came from: before the page is drawn, as
    somebody may leave it meanwhile, and after, as it may have put more into its address."""
    kept = st.session_state.setdefault(KEPT, {})
    kept[page.url_path] = st.query_params.to_dict()
    if "back" in st.query_params:
        listed, said = came_from(st.query_params["back"])
        kept[listed] = said


def way_back(listed: str = "") -> dict[str, str]:
    """The list and its filters, for the page of a building to lead back with."""
    said = ({"list": listed} if listed else {}) | st.query_params.to_dict()
    return {"back": urlencode(said)} if said else {}


def came_from(back: str) -> tuple[str, dict[str, str]]:
    """The list that a building's page came from, one of `LISTS`, and what its address said."""
    said = dict(parse_qsl(back))
    listed = said.pop("list", "")
    return (listed if listed in LISTS else "", said)
