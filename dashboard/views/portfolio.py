"""Which buildings need action first, why these, how sure that is, and where they stand."""

from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import addresses, data, filters, map, parts, scores, theme

LISTED = 40
EVERYTHING = 1_000_000
FOOTPRINTS_DRAWN = 2_500
ORDER_RULE = (
    "Buildings with something to act on now stand first, then by the total score (material and priority) of the worst "
    "item; equal totals stand by the exposure expected in the whole building, which is more than its worst item, while "
    "items with equal totals stand by material score, then damage."
)


def show() -> None:
    """The page: sentences, filters, ranked list, map."""
    above = st.container()
    chosen, order = filters.choose(is_ordered=True)
    if chosen["known"] == "possible" and order == "score":
        parts.notice("What is only possible has no score, so these buildings stand by the exposure expected.")
        order = "exposure"
    listed = parts.listed(LISTED)
    ranked = data.ask("ranked_buildings", by=order, top=EVERYTHING, told=listed, **chosen)
    with above:
        sentences(data.ask_one("portfolio_summary"), ranked, is_part=any(chosen.values()))
    if ranked.empty:
        parts.notice("No building fits all of these filters. Take one away.")
        return
    ranked = with_ranges(ranked, order, listed, chosen)
    ranked["step"] = steps(ranked, order)
    with st.container(key="beside"):
        left, right = st.columns([5, 6], gap="large")
    with left:
        ranked_list(ranked, order, listed, chosen)
    with right:
        map_of(ranked, order, chosen)
    parts.basis(
        ["ranked_buildings", "chosen_ranges", "portfolio_summary"],
        ["building_ranking", "item_ranking", "building_exposures", "term_draws"],
    )


def sentences(summary: Any, ranked: pd.DataFrame, is_part: bool) -> None:
    """What needs action now, what is known and what is not, in words; of all buildings even where a part is listed."""
    items = parts.counted(summary.items_act_now, "item")
    buildings = parts.counted(summary.buildings_act_now, "building")
    first = (
        f"{items} in {buildings} need{'s' if summary.items_act_now == 1 else ''} action now."
        if summary.items_act_now
        else "Nothing recorded needs action now."
    )
    parts.write(
        parts.heading(f"Whole portfolio: {parts.within(first)}" if is_part else first, 1),
        to_act_on_now(ranked, is_part),
        parts.paragraph(of_chosen(ranked)) if is_part else Markup(""),
        parts.paragraph(f"{'In the whole portfolio ' if is_part else ''}{never_surveyed(summary)}", "lead"),
        parts.paragraph(
            f"{'Whole portfolio: a' if is_part else 'A'} year of the usual work is expected to exceed the control "
            f"limit {parts.figure(summary.exceedances)} times if nobody takes care "
            f"(90 % range {parts.span(summary.exceedances_low, summary.exceedances_high, parts.figure)}): "
            f"{parts.figure(summary.exceedances_known)} at {summary.items:,} recorded items and "
            f"{parts.figure(summary.exceedances_possible)} at what was never looked for. "
            f"{summary.controlled_in_words} {summary.exceedance_in_words} {summary.central_in_words} "
            f"For {summary.items_with_range:,} items a part of the material score is missing or assumed, so their "
            "score is a range.",
            "quiet",
        ),
    )


def to_act_on_now(ranked: pd.DataFrame, is_part: bool) -> Markup:
    """The way to the list of items that cannot wait, of what is chosen."""
    items, buildings = int(ranked["items_act_now"].sum()), int((ranked["items_act_now"] > 0).sum())
    if not items:
        return parts.paragraph("Nothing of what is chosen needs action now.") if is_part else Markup("")
    counted = f"{parts.counted(items, 'item')} in {parts.counted(buildings, 'building')}"
    return Markup('<p>{}<a href="{}" target="_self">{}</a></p>').format(
        f"Of what is chosen: {counted}. " if is_part else "",
        parts.link("act-now", **{name: value for name, value in st.query_params.items() if name in filters.FILTERS}),
        "List of the items to act on now",
    )


def of_chosen(ranked: pd.DataFrame) -> str:
    """How much of what is chosen nobody has looked at, and what a year is expected to bring there."""
    if ranked.empty:
        return ""
    held, seen = int(ranked["properties"].sum()), int(ranked["properties_surveyed"].sum())
    return (
        f"In {parts.counted(len(ranked), 'building')} chosen {held - seen:,} of {held:,} homes and parts were never "
        f"surveyed; {parts.figure(ranked['exceedances'].sum())} exceedances a year are expected of what is chosen."
    )


def never_surveyed(summary: Any) -> str:
    """How much nobody has looked at: of homes, and of what the duty to manage covers."""
    homes, premises = summary.homes - summary.homes_surveyed, summary.premises - summary.premises_surveyed
    of_homes = f"{homes:,} of {parts.counted(summary.homes, 'home')} ({parts.percent(homes, summary.homes)})"
    of_premises = f"{premises:,} of {summary.premises:,} {parts.PREMISES} ({parts.percent(premises, summary.premises)})"
    said = " and ".join([of_homes] * (summary.homes > 0) + [of_premises] * (summary.premises > 0))
    return (
        f"{said or 'Nothing'} {'was' if homes + premises == 1 else 'were'} never surveyed: nothing is known of them, "
        f"which is not the same as nothing there. {parts.DUTY if summary.premises else ''}"
    )


def with_ranges(ranked: pd.DataFrame, order: str, listed: int, chosen: dict[str, str | None]) -> pd.DataFrame:
    """The buildings, of which those listed by exposure have the ranges of what the filters leave of them."""
    if order != "exposure" or ranked["has_range"].all():
        return ranked
    first = ranked["building_ref"].head(listed).tolist()
    ends = {name: chosen[name] for name in ("product", "work_type", "known")}
    ranges = data.ask("chosen_ranges", buildings=first, **ends).set_index("building_ref")
    for name in ("exceedances_low", "exceedances_high"):
        ranked[name] = ranked["building_ref"].map(ranges[name])
    said = ranked["building_ref"].map(ranges["exposure"]) + ", most from " + ranked["reasons"]
    return ranked.assign(exposure_reason=said.fillna(ranked["exposure_reason"]))


def steps(ranked: pd.DataFrame, order: str) -> list[int]:
    """How dark each building is drawn: by its worst material score, or by its share of the greatest exposure."""
    if order == "score":
        return [-1 if pd.isna(score) else theme.step(int(score)) for score in ranked["worst_score"]]
    return [theme.share_step(value, float(ranked["exceedances"].max())) for value in ranked["exceedances"]]


def ranked_list(ranked: pd.DataFrame, order: str, listed: int, chosen: dict[str, str | None]) -> None:
    """Buildings in order, each a link to its page."""
    parts.write(
        parts.heading(
            "Buildings in the order in which to act" if order == "score" else "Buildings by expected exposure"
        ),
        parts.paragraph(f"{counted(ranked, listed)} {rule(ranked, order)}", "quiet"),
        parts.paragraph(filters.in_words(chosen), "quiet"),
    )
    first = ranked.head(listed)
    with st.container(height=map.HEIGHT_PX, border=False):
        starts = first["rank_group"].ne(first["rank_group"].shift()) & first["has_range"] & (order == "exposure")
        lines = Markup("").join(
            (group(row.rank_group) if is_start else Markup("")) + line(row, order)
            for row, is_start in zip(data.each(first), starts, strict=True)
        )
        parts.write(Markup('<ol class="ranked">{}</ol>').format(lines))
        parts.more(len(first), len(ranked), LISTED)
    parts.as_csv(
        f"All as csv ({parts.counted(len(ranked), 'building')})",
        lambda: with_ranges(data.ask("ranked_buildings", by=order, top=EVERYTHING, **chosen), order, listed, chosen),
        "buildings",
    )


def counted(ranked: pd.DataFrame, listed: int) -> str:
    """How many buildings are listed, and in how many of all something cannot wait."""
    urgent = int((ranked["items_act_now"] > 0).sum())
    shown = f"The first {listed:,} of {len(ranked):,} buildings"
    if len(ranked) <= listed:
        shown = parts.counted(len(ranked), "building")
    return f"{shown}; {parts.counted(urgent, 'building') if urgent else 'none'} with something to act on now."


def rule(ranked: pd.DataFrame, order: str) -> str:
    """What the order follows from."""
    if order == "score":
        run = data.ask_one("latest_run")
        rounding = f" Group averages of priority scores are rounded {run.priority_rounding}." if run else ""
        return f"{ORDER_RULE}{rounding}"
    by = "They stand by expected exceedances of the control limit a year. "
    if ranked["has_range"].all():
        return f"{by}Places are given with their 90 % range; buildings of one group cannot be told apart."
    return (
        f"{by}Figures, places and reasons are those of what is chosen alone. The figures of those listed have "
        "their 90 % range; places have none, as the figures of all others would have to be ranged for it."
    )


def group(number: int) -> Markup:
    """The line above the first building of a group."""
    return Markup('<li class="quiet">Group {}</li>').format(number)


def line(row: Any, order: str) -> Markup:
    """One building of the list."""
    if order == "score":
        place = str(row.rank)
        mark = scores.total_chip(
            row.worst_total, row.worst_has_total, row.worst_total_low, row.worst_total_high, row.worst_score
        )
    else:
        is_span = row.has_range and row.rank_low < row.rank_high
        place = f"{row.rank_low}–{row.rank_high}" if is_span else str(row.rank_by_exposure)
        mark = scores.exposure_chip(row.exceedances, row.step)
    return Markup(
        '<li><a href="{}" target="_self"><span class="rank">{}</span>{}<span><span class="name">{}</span> {}</span>'
        '<span class="why">{}</span></a></li>'
    ).format(
        parts.link("building", building=row.building_ref, **addresses.way_back()),
        place,
        mark,
        row.name_in_area,
        scores.act_now() if row.items_act_now else "",
        f"{row.score_reason if order == 'score' else row.exposure_reason}.",
    )


def map_of(ranked: pd.DataFrame, order: str, chosen: dict[str, str | None]) -> None:
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
    nothing = "nothing of what is chosen recorded" if filters.is_narrowed(chosen) else "nothing recorded"
    placed["label"] = [label(row, nothing) for row in data.each(placed)]
    areas = data.ask("areas")
    areas["label"] = [str(Markup.escape(name)) for name in areas["area"]]
    footprints = data.ask("footprints", area=chosen["area"]) if len(placed) <= FOOTPRINTS_DRAWN else None
    drawn = map.figure(placed, areas, parts.colours(), data.ask("roads"), footprints)
    picked = st.plotly_chart(
        drawn,
        key="map",
        on_select="rerun",
        selection_mode="points",
        config={"displaylogo": False, "scrollZoom": True},
    )
    legend(order, float(ranked["exceedances"].max()), nothing)
    missing = int(ranked["latitude"].isna().sum())
    if missing:
        parts.write(
            parts.paragraph(f"{parts.counted(missing, 'building')} without coordinates cannot be drawn.", "quiet")
        )
    marks = [point["customdata"] for point in picked["selection"]["points"] if "customdata" in point]
    if marks:
        st.switch_page(
            "views/building.py", query_params={"building": placed.loc[marks[0], "building_ref"], **addresses.way_back()}
        )


def label(row: Any, nothing: str) -> str:
    """What the map says of a building under the pointer, as text that plotly cannot take for markup."""
    said = [f"{row.name}: " + ("never surveyed" if row.properties_surveyed == 0 else nothing)]
    if not pd.isna(row.worst_score):
        said = [f"{row.name}: worst material score {row.worst_score} of 12"]
    said.append(f"{parts.figure(row.exceedances)} exceedances a year")
    if row.items_act_now:
        said.append(f"{parts.counted(row.items_act_now, 'item')} to act on now")
    if row.n > 1:
        said.append(f"and {row.n - 1:,} more here")
    return str(Markup.escape(", ".join(said)))


def legend(order: str, most: float, nothing: str) -> None:
    """What size, colour and rings mean."""
    names = theme.score_steps() if order == "score" else [parts.figure(most * share) for share in theme.SHARES]
    dots = Markup("").join(
        Markup('<span><span class="dot step{}" style="width:{}px;height:{}px"></span>{}</span>').format(
            n, map.DIAMETER_OF_STEP[n], map.DIAMETER_OF_STEP[n], name if order == "score" else f"to {name}"
        )
        for n, name in enumerate(names)
    )
    title = "Worst material score" if order == "score" else "Exceedances a year"
    seen = Markup('<span><span class="seen"></span>surveyed, {}</span>').format(nothing) if order == "score" else ""
    parts.write(
        Markup(
            '<div class="legend"><span>{}</span>{}<span><span class="act"></span>something to act on now</span>{}'
            '<span><span class="ring"></span>never surveyed</span></div>'
        ).format(title, dots, seen)
    )


show()
