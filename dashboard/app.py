"""The frame around every page: look, navigation, the state of the result, cautions."""

from pathlib import Path

import streamlit as st

from dashboard import addresses, data, parts
from pipelines.errors import PortfolioError

VIEWS = Path(__file__).parent / "views"


def frame() -> None:
    """Draw the page that the address names inside the frame."""
    st.set_page_config(page_title="Undisturbed", layout="wide")
    parts.style()
    page = st.navigation(
        [
            st.Page(VIEWS / "portfolio.py", title="Portfolio", default=True),
            st.Page(VIEWS / "act_now.py", title="Act now", url_path="act-now"),
            st.Page(VIEWS / "building.py", title="Building", url_path="building"),
            st.Page(VIEWS / "activities.py", title="Activities", url_path="activities"),
            st.Page(VIEWS / "data_in.py", title="Data in", url_path="data-in"),
        ],
        position="top",
    )
    addresses.recall(page)
    try:
        run = data.ask_one("latest_run")
        parts.masthead(run, is_stale=data.is_stale())
        page.run()
        addresses.keep(page)
    except PortfolioError as error:
        parts.nothing_yet(error)
    parts.cautions()


frame()
