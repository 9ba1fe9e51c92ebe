"""Which buildings need action first, why these, how sure that is, and where they stand."""

from typing import Any
from urllib.parse import urlencode

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import data, map, parts, theme
from pipelines import exports

LISTED = 40
EVERYTHING = 1_000_000
FOOTPRINTS_DRAWN = 2_500
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


def show() -> None:
    """The page: sentences, filters, ranked list, map."""
    above = st.container()
    chosen, order = filters()
    with above:
        sentences(data.ask_one("portfolio_summary"), is_part=any(chosen.values()))
    ranked = data.ask("ranked_buildings", by=order, top=EVERYTHING, **chosen)
    if ranked.empty:
        parts.notice("No building fits all of these filters. Take one away.")
        return
    if order == "exposure" and not ranked["has_range"].all():
        ranked = with_ranges(ranked, chosen)
    ranked["step"] = steps(ranked, order)
    with st.container(key="beside"):
        left, right = st.columns([5, 6], gap="large")
    with left:
        ranked_list(ranked, order)
    with right:
        map_of(ranked, order, chosen["area"])
    parts.basis(
        ["ranked_buildings", "chosen_ranges", "portfolio_summary"],
        ["building_ranking", "item_ranking", "building_exposures", "term_draws"],
    )


def sentences(summary: Any, is_part: bool) -> None:
    """What needs action now, what is known and what is not, in words; of all buildings even where a part is listed."""
    items = parts.counted(summary.items_act_now, "item")
    buildings = parts.counted(summary.buildings_act_now, "building")
    never = summary.properties - summary.properties_surveyed
    first = (
        f"{items} in {buildings} need{'s' if summary.items_act_now == 1 else ''} action now."
        if summary.items_act_now
        else "Nothing recorded needs action now."
    )
    parts.write(
        parts.heading(f"Whole portfolio: {first[:1].lower()}{first[1:]}" if is_part else first, 1),
        parts.paragraph(
            f"{parts.counted(never, 'property', 'properties')} of {summary.properties:,} "
            f"({parts.percent(never, summary.properties)}) {'was' if never == 1 else 'were'} never surveyed: "
            "nothing is known of them, which is not the same as nothing there.",
            "lead",
        ),
        parts.paragraph(
            f"A year of the usual work is expected to exceed the control limit "
            f"{parts.figure(summary.exceedances)} times if nobody takes care "
            f"(90 % range {parts.span(summary.exceedances_low, summary.exceedances_high, parts.figure)}): "
            f"{parts.figure(summary.exceedances_known)} at {summary.items:,} recorded items and "
            f"{parts.figure(summary.exceedances_possible)} at what was never looked for. "
            f"{summary.controlled_in_words} {summary.exceedance_in_words} {summary.central_in_words} "
            f"For {summary.items_with_range:,} items a part of the material score is missing or assumed, so their "
            "score is a range.",
            "quiet",
        ),
    )


def filters() -> tuple[dict[str, str | None], str]:
    """What to show and in which order; both stand in the page's address, so that a link shows the same."""
    values = data.ask("filter_values")
    words = {
        name: {ANY: ANY} | {row.value: row.in_words for row in data.each(values[values["filter"] == name])}
        for name in FILTERS
    }
    for name, label in FILTERS.items():
        parts.left_out(name, label, words[name].values())
    parts.left_out("by", "Order by", ORDERS)
    with st.container(key="filters"):
        columns = st.columns(len(FILTERS) + 1, vertical_alignment="bottom")
    chosen: dict[str, str | None] = {}
    for column, (name, label) in zip(columns, FILTERS.items(), strict=False):
        with column:
            picked: str = st.selectbox(
                label, list(words[name]), format_func=words[name].__getitem__, key=name, bind="query-params"
            )
        chosen[name] = None if picked == ANY else picked
    with columns[-1]:
        order: str = st.selectbox("Order by", ORDERS, key="by", bind="query-params")
    return chosen, order


def with_ranges(ranked: pd.DataFrame, chosen: dict[str, str | None]) -> pd.DataFrame:
    """The buildings, of which those listed have the ranges of what the filters leave of them."""
    listed = ranked["building_ref"].head(LISTED).tolist()
    ends = {name: chosen[name] for name in ("product", "work_type", "known")}
    ranges = data.ask("chosen_ranges", buildings=listed, **ends).set_index("building_ref")
    for name in ("exceedances_low", "exceedances_high"):
        ranked[name] = ranked["building_ref"].map(ranges[name])
    said = ranked["building_ref"].map(ranges["exposure"]) + ", most from " + ranked["reasons"]
    return ranked.assign(exposure_reason=said.fillna(ranked["exposure_reason"]))


def steps(ranked: pd.DataFrame, order: str) -> list[int]:
    """How dark each building is drawn: by its worst material score, or by its share of the greatest exposure."""
    if order == "score":
        return [-1 if pd.isna(score) else theme.step(int(score)) for score in ranked["worst_score"]]
    return [theme.share_step(value, float(ranked["exceedances"].max())) for value in ranked["exceedances"]]


def ranked_list(ranked: pd.DataFrame, order: str) -> None:
    """Buildings in order, each a link to its page."""
    urgent = int((ranked["items_act_now"] > 0).sum())
    shown = f"The first {LISTED} of {len(ranked):,} buildings"
    if len(ranked) <= LISTED:
        shown = parts.counted(len(ranked), "building")
    run = data.ask_one("latest_run")
    rounding = f", its group averages rounded {run.priority_rounding}" if run else ""
    rule = (
        "those with something that cannot wait, then by the total score (material and priority"
        f"{rounding}) of the worst item."
        if order == "score"
        else "by expected exceedances of the control limit a year. "
        + (
            "Ranks are given with their 90 % range; buildings of one group cannot be told apart."
            if ranked["has_range"].all()
            else "Figures, places and reasons are those of what is chosen alone. The figures of those listed have "
            "their 90 % range; places have none, as the figures of all others would have to be ranged for it."
        )
    )
    parts.write(
        parts.heading(
            "Buildings in the order in which to act" if order == "score" else "Buildings by expected exposure"
        ),
        parts.paragraph(
            f"{shown} ({f'{urgent:,} with something' if urgent else 'none with anything'} to act on now): {rule}",
            "quiet",
        ),
    )
    with st.container(height=map.HEIGHT_PX, border=False):
        listed = ranked.head(LISTED)
        starts = listed["rank_group"].ne(listed["rank_group"].shift()) & listed["has_range"] & (order == "exposure")
        lines = Markup("").join(
            (group(row.rank_group) if is_start else Markup("")) + line(row, order)
            for row, is_start in zip(data.each(listed), starts, strict=True)
        )
        parts.write(Markup('<ol class="ranked">{}</ol>').format(lines))
    st.download_button("All of them as csv", lambda: exports.csv(ranked), file_name="buildings.csv", mime="text/csv")


def group(number: int) -> Markup:
    """The line above the first building of a group."""
    return Markup('<li class="quiet">Group {}</li>').format(number)


def line(row: Any, order: str) -> Markup:
    """One building of the list."""
    if order == "score":
        place, mark = str(row.rank), parts.total_chip(row.worst_total, row.worst_total_is_sure, row.worst_score)
    else:
        is_span = row.has_range and row.rank_low < row.rank_high
        place = f"{row.rank_low}–{row.rank_high}" if is_span else str(row.rank_by_exposure)
        mark = parts.exposure_chip(row.exceedances, row.step)
    return Markup(
        '<li><a href="{}" target="_self"><span class="rank">{}</span>{}<span><span class="name">{}</span> {}</span>'
        '<span class="why">{}</span></a></li>'
    ).format(
        parts.link("building", building=row.building_ref, **way_back()),
        place,
        mark,
        row.name_in_area,
        parts.act_now() if row.items_act_now else "",
        f"{row.score_reason if order == 'score' else row.exposure_reason}.",
    )


def way_back() -> dict[str, str]:
    """The filters of this list, for the page of a building to lead back with."""
    return {"back": urlencode(st.query_params.to_dict())} if st.query_params else {}


def map_of(ranked: pd.DataFrame, order: str, area: str | None) -> None:
    """The map; a building chosen on it opens."""
    what = "worst material score" if order == "score" else "expected exceedances a year"
    parts.write(
        parts.heading("Where they stand"),
        parts.paragraph(
            f"Each building by its {what}. Choose one to open it, or, when near, its ground plan.",
            "quiet",
        ),
    )
    placed = map.grouped(ranked[ranked["latitude"].notna()].sort_values("rank", ascending=False, ignore_index=True))
    if placed.empty:
        parts.notice("No building here has coordinates in the stock list, so there is nothing to draw.")
        return
    placed["label"] = [label(row) for row in data.each(placed)]
    areas = data.ask("areas")
    areas["label"] = [str(Markup.escape(name)) for name in areas["area"]]
    footprints = data.ask("footprints", area=area) if len(placed) <= FOOTPRINTS_DRAWN else None
    drawn = map.figure(placed, areas, parts.colours(), data.ask("roads"), footprints)
    chosen = st.plotly_chart(
        drawn,
        key="map",
        on_select="rerun",
        selection_mode="points",
        config={"displaylogo": False, "scrollZoom": True},
    )
    legend(order, float(ranked["exceedances"].max()))
    missing = int(ranked["latitude"].isna().sum())
    if missing:
        parts.write(
            parts.paragraph(f"{parts.counted(missing, 'building')} without coordinates cannot be drawn.", "quiet")
        )
    marks = [point["customdata"] for point in chosen["selection"]["points"] if "customdata" in point]
    if marks:
        st.switch_page(
            "views/building.py", query_params={"building": placed.loc[marks[0], "building_ref"], **way_back()}
        )


def label(row: Any) -> str:
    """What the map says of a building under the pointer, as text that plotly cannot take for markup."""
    said = [f"{row.name}: " + ("never surveyed" if row.properties_surveyed == 0 else "nothing recorded")]
    if not pd.isna(row.worst_score):
        said = [f"{row.name}: worst material score {row.worst_score} of 12"]
    said.append(f"{parts.figure(row.exceedances)} exceedances a year")
    if row.items_act_now:
        said.append("act now")
    if row.n > 1:
        said.append(f"and {row.n - 1:,} more here")
    return str(Markup.escape(", ".join(said)))


def legend(order: str, most: float) -> None:
    """What size, colour and rings mean."""
    names = theme.score_steps() if order == "score" else [parts.figure(most * share) for share in theme.SHARES]
    dots = Markup("").join(
        Markup('<span><span class="dot step{}" style="width:{}px;height:{}px"></span>{}</span>').format(
            n, map.DIAMETER_OF_STEP[n], map.DIAMETER_OF_STEP[n], name if order == "score" else f"to {name}"
        )
        for n, name in enumerate(names)
    )
    title = "Worst material score" if order == "score" else "Exceedances a year"
    seen = Markup('<span><span class="seen"></span>surveyed, nothing recorded</span>' if order == "score" else "")
    parts.write(
        Markup(
            '<div class="legend"><span>{}</span>{}<span><span class="act"></span>act now</span>{}'
            '<span><span class="ring"></span>never surveyed</span></div>'
        ).format(title, dots, seen)
    )


show()
