"""Which work leads to exposure, at which materials, with and without control, and what the total hangs on."""

import textwrap
from typing import Any

import pandas as pd
import plotly.graph_objects as go
import streamlit as st
from markupsafe import Markup

from dashboard import data, parts

PAIRS_SHOWN = 15
EVERYTHING = 1_000_000
FEWEST_WORKS = 2
PARAMETERS_SHOWN = 15
LONGEST_NAME = 28
POINTS = {"point": "Best estimate", "low": "Low, 5 %", "high": "High, 95 %"}
ANY = "any"
FONT = '"Source Sans", sans-serif'
FIGURES = {
    "rate": "how often an activity takes place",
    "contact": "chance that an activity touches a material",
    "minutes": "how long a task takes",
    "release": "fibres in the air",
    "positive share": "share of presumed materials that are asbestos",
    "presence": "share of properties that hold a material",
    "usual reach": "reach that is usual",
    "usual extent": "extent that is usual in a property",
    "usual room extent": "extent that is usual in one room",
    "place share": "where in a property it stands",
    "model": "single figures of the model",
}


def show() -> None:
    """The page: work types, pairs, parameters."""
    run = data.ask_one("latest_run")
    works = data.ask("work_totals")
    if len(works) < FEWEST_WORKS:
        parts.notice("No activity meets anything here: nothing is recorded, and nothing is possible.")
        return
    works_by_exposure(works, parts.day(run.as_of) if run else "")
    one_work(works)
    worst_pairs(data.ask("worst_pairs", top=EVERYTHING))
    parameters(data.ask("parameter_effects", top=EVERYTHING), float(works["exceedances"].sum()))
    every_parameter()
    parts.basis(
        ["work_totals", "worst_pairs", "parameter_effects", "every_parameter"],
        ["work_pairs", "exposures", "parameters", "rates", "rate_counts", "presence"],
    )


def works_by_exposure(works: pd.DataFrame, as_of: str) -> None:
    """Kinds of work by what a year of them comes to."""
    first, second = (works.iloc[at] for at in (0, 1))
    total, whole = works["exceedances"].sum(), next(data.each(data.ask("portfolio_summary")))
    share = parts.percent(first["exceedances"] + second["exceedances"], total)
    parts.write(
        parts.heading(
            f"{first['in_words']}, then {parts.within(second['in_words'])}: {share} of the exposure expected.", 1
        ),
        parts.paragraph(
            f"All activities together come to {parts.figure(total)} exceedances of the control limit a year (90 % "
            f"range {parts.span(whole.exceedances_low, whole.exceedances_high, parts.figure)}), at recorded and "
            f"possible materials. {whole.controlled_in_words} Where nobody may do a thing, and where occupants do it, "
            "the uncontrolled figure stays.",
            "lead",
        ),
    )
    parts.write(
        parts.heading(f"Expected exceedances of the control limit a year by activity, as of {as_of}"),
        parts.paragraph(f"{whole.exceedance_in_words} Lines: the 90 % range.", "quiet"),
    )
    st.plotly_chart(chart(works), key="works", theme=None, config={"displaylogo": False})
    parts.as_csv("These figures as csv", lambda: works, "work_types")


def chart(works: pd.DataFrame) -> go.Figure:
    """Bars of each kind of work, without and with control."""
    colours = parts.colours()
    rows = works.iloc[::-1]
    names = [in_lines(f"{row.in_words}{'' if row.done_by == 'trade' else ' (occupant)'}") for row in data.each(rows)]
    drawn = go.Figure(
        [
            go.Bar(
                y=names,
                x=rows[column],
                name=name,
                orientation="h",
                marker={"color": colours.steps[step]},
                error_x=reach(rows, column, colours.text),
                customdata=[
                    f" (90 % range {parts.span(*ends, parts.figure)})"
                    for ends in zip(rows[f"{column}_low"], rows[f"{column}_high"], strict=True)
                ],
                hovertemplate="%{y}: %{x:.2g} a year%{customdata}<extra>" + name + "</extra>",
            )
            for column, name, step in (
                ("exceedances_controlled", "with good practice", 1),
                ("exceedances", "without control", 3),
            )
        ]
    )
    drawn.update_layout(
        xaxis={"title": "exceedances a year", "gridcolor": colours.line, "zeroline": False},
        yaxis={"automargin": True, "showgrid": False},
        height=34 * len(rows) + 110,
        barmode="group",
        legend={"orientation": "h", "traceorder": "reversed", "y": 1.0, "yanchor": "bottom", "x": 0, "xanchor": "left"},
        margin={"l": 0, "r": 10, "t": 40, "b": 50},
        font={"color": colours.text, "family": FONT, "size": 13},
        hoverlabel={"bgcolor": colours.background, "font": {"color": colours.text}},
        paper_bgcolor=colours.background,
        plot_bgcolor=colours.background,
    )
    return drawn


def in_lines(name: str) -> str:
    """A name in lines that leave room for bars on a phone."""
    return "<br>".join(textwrap.wrap(name, LONGEST_NAME))


def reach(rows: pd.DataFrame, column: str, colour: str) -> dict[str, object]:
    """The lines of a bar from the low to the high end of its range."""
    return {
        "type": "data",
        "symmetric": False,
        "array": rows[f"{column}_high"] - rows[column],
        "arrayminus": rows[column] - rows[f"{column}_low"],
        "color": colour,
        "thickness": 1,
        "width": 3,
    }


def one_work(works: pd.DataFrame) -> None:
    """A link to the map and list of one activity."""
    names = {row.work_type: row.in_words for row in data.each(works)}
    parts.left_out("work", "One activity", names.values())
    left, right = st.columns([3, 5], vertical_alignment="bottom")
    with left:
        picked = st.selectbox(
            "One activity", list(names), format_func=names.__getitem__, key="work", bind="query-params"
        )
    with right:
        st.page_link(
            "views/portfolio.py",
            label="Buildings where it leads to most exposure",
            query_params={"work_type": names[picked], "by": "exposure"},
        )


def worst_pairs(pairs: pd.DataFrame) -> None:
    """The pairs of work and material that add the most."""
    parts.write(
        parts.heading("Activities and materials that add the most"),
        parts.paragraph(
            f"{first_of(pairs, PAIRS_SHOWN, 'pair')} No allowed way: no method allowed at this material does this "
            "work, so the uncontrolled figure stays in the sums. Occupants are not expected to control theirs. Figures "
            "have their 90 % ranges.",
            "quiet",
        ),
        parts.table(
            ["Activity", "Material", "Task", "Exceedances a year", "With good practice"],
            [
                (
                    row.work,
                    row.material,
                    row.task,
                    parts.with_range(row, "exceedances"),
                    controlled(row),
                )
                for row in data.each(pairs.head(PAIRS_SHOWN))
            ],
            numbers=[3, 4],
        ),
    )
    parts.as_csv("All pairs as csv", lambda: pairs, "pairs")


def controlled(row: Any) -> Markup | str:
    """What good practice leaves of a pair, or why it leaves all."""
    return parts.with_range(row, "exceedances_controlled") if row.has_control else parts.uncontrolled(row.done_by)


def parameters(effects: pd.DataFrame, total: float) -> None:
    """Which parameter moves the total most."""
    parts.write(
        parts.heading("What the total hangs on"),
        parts.paragraph(
            f"{first_of(effects, PARAMETERS_SHOWN, 'figure')} How far the total of {parts.figure(total)} a year moves "
            "when one figure goes from the low to the high end of its 90 % range and all others stay. Most are "
            f"judgement; a landlord's own in parameters/ replace them. {parts.LETTERS}",
            "quiet",
        ),
        parts.table(
            ["Figure", "Moves the total by", "Exceedances a year that rest on it", "Basis"],
            [
                (row.parameter, parts.figure(row.movement), parts.figure(row.exceedances), row.basis)
                for row in data.each(effects.head(PARAMETERS_SHOWN))
            ],
            numbers=[1, 2],
        ),
    )
    parts.as_csv("All of these figures as csv", lambda: effects, "parameter_effects")


def first_of(rows: pd.DataFrame, shown: int, one: str) -> str:
    """How many of all are shown."""
    few = f"All {parts.counted(len(rows), one)}."
    return f"The first {shown} of {parts.counted(len(rows), one)}." if len(rows) > shown else few


def every_parameter() -> None:
    """Every figure behind the exposure, to be searched and taken away."""
    parts.write(
        parts.heading("Every figure that this rests on"),
        parts.paragraph(
            "Each with the ends of its 90 % range, what was counted where something was, and where it is from. A row "
            f"in parameters/ replaces it, but for what is law or a published method. {parts.LETTERS}",
            "quiet",
        ),
    )
    parts.left_out("figures", "Kind of figure", [ANY, *FIGURES.values()])
    left, right = st.columns([3, 5], vertical_alignment="bottom")
    with left:
        kind: str = st.selectbox(
            "Kind of figure",
            [ANY, *FIGURES],
            format_func=lambda kind: FIGURES.get(kind, ANY),
            key="figures",
            bind="query-params",
        )
    with right:
        text = st.text_input(
            "With these words",
            key="words",
            bind="query-params",
            placeholder="an activity, material, area, basis or source",
        )
    found = data.ask("every_parameter", kind=None if kind == ANY else kind, text=text.strip() or None)
    if found.empty:
        parts.notice("No figure has these words in what it is about, its basis or its source.")
        return
    parts.write(parts.paragraph(f"{parts.counted(len(found), 'figure')}.", "quiet"))
    numbers = {name: st.column_config.NumberColumn(label, format="%.3g") for name, label in POINTS.items()}
    st.dataframe(
        found.assign(name=found["name"].map(FIGURES)),
        hide_index=True,
        placeholder="",
        column_config=numbers
        | {
            "name": "Kind",
            "about": st.column_config.TextColumn("About", width=560),
            "unit": "Unit",
            "n": st.column_config.NumberColumn("Counted", format="%d"),
            "basis": st.column_config.TextColumn("Basis", width="medium"),
            "source": st.column_config.TextColumn("Source", width="large"),
        },
    )
    parts.as_csv("These as csv", lambda: found, "parameters")


show()
