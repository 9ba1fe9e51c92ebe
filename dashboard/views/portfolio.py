"""Which buildings need action first, why these, and where they stand."""

from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import data, map, parts
from pipelines import exports

LISTED = 40
EVERYTHING = 1_000_000
WHOLE = "All areas"


def show() -> None:
    """The page: sentences, ranked list, map."""
    areas = data.ask("areas")
    area = st.selectbox("Area", [WHOLE, *areas["area"]], key="area", bind="query-params", width=260)
    chosen = None if area == WHOLE else area
    sentences(data.ask_one("portfolio_summary", area=chosen), area)
    ranked = data.ask("ranked_buildings", area=chosen, top=EVERYTHING)
    left, right = st.columns([5, 6], gap="large")
    with left:
        ranked_list(ranked)
    with right:
        map_of(data.ask("buildings_on_map", area=chosen), areas)


def sentences(summary: Any, area: str) -> None:
    """What needs action now, what is known and what is not, in words."""
    where = "" if area == WHOLE else f" in {area}"
    items = parts.counted(summary.items_act_now, "item")
    buildings = parts.counted(summary.buildings_act_now, "building")
    never = summary.properties - summary.properties_surveyed
    first = (
        f"{items} in {buildings}{where} need{'s' if summary.items_act_now == 1 else ''} action now."
        if summary.items_act_now
        else f"Nothing recorded{where} needs action now."
    )
    parts.write(
        parts.heading(first, 1),
        parts.paragraph(
            f"{parts.counted(never, 'property', 'properties')} of {summary.properties:,} "
            f"({parts.percent(never, summary.properties)}) {'was' if never == 1 else 'were'} never surveyed: "
            "nothing is known of them, which is not the same as nothing there.",
            "lead",
        ),
        parts.paragraph(
            f"The others hold {parts.counted(summary.items, 'recorded item')} of asbestos, found or presumed; "
            f"{summary.items_medium_or_high:,} of them score medium or high. For {summary.items_with_range:,} "
            "a part of the score is missing or assumed, so their score is a range.",
            "quiet",
        ),
    )


def ranked_list(ranked: pd.DataFrame) -> None:
    """Buildings by their worst item, each a link to its page."""
    shown = min(LISTED, len(ranked))
    parts.write(
        parts.heading("Buildings in the order in which to act"),
        parts.paragraph(
            f"The first {shown} of {parts.counted(len(ranked), 'building')}: those with something that cannot wait, "
            "then by the material score of the worst item.",
            "quiet",
        ),
    )
    with st.container(height=map.HEIGHT_PX, border=False):
        parts.write(
            Markup('<ol class="ranked">{}</ol>').format(
                Markup("").join(line(row) for row in data.each(ranked.head(LISTED)))
            )
        )
    st.download_button("All of them as csv", lambda: exports.csv(ranked), file_name="buildings.csv", mime="text/csv")


def line(row: Any) -> Markup:
    """One building of the list."""
    return Markup(
        '<li><a href="{}" target="_self"><span class="rank">{}</span>{}<span><span class="name">{}</span>, {} {}</span>'
        '<span class="why">{}</span></a></li>'
    ).format(
        parts.link("building", building=row.building_ref),
        row.rank,
        parts.chip(row.worst_score),
        row.name,
        row.area,
        parts.act_now() if row.items_act_now else "",
        row.why,
    )


def map_of(buildings: pd.DataFrame, areas: pd.DataFrame) -> None:
    """The map; a building chosen on it opens."""
    parts.write(
        parts.heading("Where they stand"),
        parts.paragraph("Each building by its worst item. Choose one to open it.", "quiet"),
    )
    if buildings.empty:
        parts.notice("No building here has coordinates in the stock list, so there is nothing to draw.")
        return
    buildings["label"] = [label(row) for row in data.each(buildings)]
    areas["label"] = [str(Markup.escape(name)) for name in areas["area"]]
    chosen = st.plotly_chart(
        map.figure(buildings, areas, parts.colours()),
        key="map",
        on_select="rerun",
        selection_mode="points",
        config={"displaylogo": False, "scrollZoom": True},
    )
    legend()
    marks = [point["customdata"] for point in chosen["selection"]["points"] if "customdata" in point]
    if marks:
        st.switch_page("views/building.py", query_params={"building": buildings.loc[marks[0], "building_ref"]})


def label(row: Any) -> str:
    """What the map says of a building under the pointer, as text that plotly cannot take for markup."""
    said = "never surveyed" if row.properties_surveyed == 0 else "nothing recorded"
    if not pd.isna(row.worst_score):
        said = f"worst material score {row.worst_score} of 12"
    if row.items_act_now:
        said += ", act now"
    return str(Markup.escape(f"{row.name}: {said}"))


def legend() -> None:
    """What size, colour and rings mean."""
    steps = ("2–3", "4", "5–6", "7–8", "9", "10–12")
    dots = Markup("").join(
        Markup('<span><span class="dot step{}" style="width:{}px;height:{}px"></span>{}</span>').format(
            n, map.DIAMETER_OF_STEP[n], map.DIAMETER_OF_STEP[n], steps[n]
        )
        for n in range(len(steps))
    )
    parts.write(
        Markup(
            '<div class="legend"><span>Worst material score</span>{}<span><span class="act"></span>act now</span>'
            '<span><span class="seen"></span>surveyed, nothing recorded</span>'
            '<span><span class="ring"></span>never surveyed</span></div>'
        ).format(dots)
    )


show()
