"""What each page's address said last while it was open, so that the tabs lead back to it; a link says its own."""

from typing import Any
from urllib.parse import parse_qsl

import streamlit as st

KEPT, SHOWN = "addresses", "page shown"


def recall(page: Any) -> None:
    """Put what was chosen on a page back into its address where a tab leads there, which leaves all of it out."""
    before = st.session_state.get(SHOWN, page.url_path)
    st.session_state[SHOWN] = page.url_path
    said = st.session_state.get(KEPT, {}).get(page.url_path)
    if before != page.url_path and said and not st.query_params:
        st.switch_page(page, query_params=said)
    keep(page)


def keep(page: Any) -> None:
    """Note what the page's address says, and the list that a building's page came from: before the page is drawn, as
    somebody may leave it meanwhile, and after, as it may have put more into its address."""
    kept = st.session_state.setdefault(KEPT, {})
    kept[page.url_path] = st.query_params.to_dict()
    if "back" in st.query_params:
        kept[""] = dict(parse_qsl(st.query_params["back"]))
