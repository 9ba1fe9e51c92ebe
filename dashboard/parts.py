"""What pages are made of: words, dates, ranges, marks, tables, source links, empty states.

Everything that is written by hand into HTML goes through `markupsafe.Markup.format`, which escapes what it is
given, so that no text of a register is ever markup.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import theme
from pipelines import exports, queries

LEAST_SHOWN = 0.0001
FEW_COLUMNS = 3
"""As many as fit beside each other on a phone; of tables with more, each row becomes a list there."""
LISTED = "listed"
MOST_DIGITS = 6
NO_EVENT = (
    "All year: using a place is no event, so it is counted once a year. Its figure is the chance that a 4-hour mean of "
    "the air there is over the limit in such use, on one day of the year or on many; the other figures are events a "
    "year. Do not read them as like for like."
)
IN_SHORT = "Scores order work; they do not make a home safe. Where unsure, presume asbestos and do not disturb it."
PREMISES = "common parts and other premises"
DUTY = "The duty to manage covers common parts and non-domestic premises, not the inside of homes."
LETTERS = (
    "Bases of defaults: D by rule from published measurements; S the same, some known at second hand or from memory; "
    "SJ with one end judged; P pooled published measurements, their spread judged; J judgement."
)
CAUTIONS = (
    "Scores order work; they do not make a home safe, and low is not permission. Where unsure presume asbestos, do not "
    "disturb it and have it sampled; sight never identifies. Licensed work is for licensed contractors. The rules "
    "built in are Great Britain's: local law and codes come first.",
    "If something was disturbed: stop, leave, shut the door, keep others out, do not sweep or vacuum, report it. "
    "Cement roofs are fragile; old fuse boards are live.",
)


def colours() -> theme.Palette:
    """The palette of the theme that the reader's browser shows."""
    return theme.palette(st.context.theme.type)


def style() -> None:
    """Bring our style sheet, in the reader's theme, onto the page."""
    st.html(f"<style>{theme.style_sheet(colours())}</style>")


def write(*blocks: Markup) -> None:
    """Put escaped markup on the page."""
    st.html(Markup('<div class="u">{}</div>').format(Markup("").join(blocks)))


def paragraph(text: str, kind: str = "") -> Markup:
    """A paragraph of plain text."""
    return Markup('<p class="{}">{}</p>').format(kind, text)


def heading(text: str, level: int = 2) -> Markup:
    """A heading of plain text; level 1 to 3."""
    return Markup("<h{0}>{1}</h{0}>").format(level, text)


def masthead(run: Any, is_stale: bool) -> None:
    """Whose figures these are and as of which day, the cautions in short, and a notice where files changed since."""
    write(
        Markup('<div class="masthead"><span><strong>{}</strong></span><span>as of {}</span></div>').format(
            run.name, day(run.as_of)
        )
    )
    write(paragraph(IN_SHORT, "short"))
    if is_stale:
        notice("Files of this portfolio were changed after these figures were made. Build it again to see them.")


def cautions() -> None:
    """The cautions under every page."""
    write(Markup('<div class="cautions">{}</div>').format(Markup("").join(map(paragraph, CAUTIONS))))


def notice(text: str) -> None:
    """A sentence that the reader should not miss."""
    write(Markup('<p class="notice">{}</p>').format(text))


def left_out(key: str, label: str, known: Iterable[str]) -> None:
    """A notice where the page's address asks for what there is not; the choice bound to it then stays as it is."""
    asked = st.query_params.get(key)
    if asked is not None and asked not in known:
        notice(f"{label}: the address asks for “{asked}”, which is none of the choices, so it was left out.")


def one_of(names: Mapping[str, str], label: str, key: str, first: int = 0, width: int = 480) -> str:
    """What is chosen among several by their names in words, which stands in the page's address."""
    left_out(key, label, names.values())
    picked: str = st.selectbox(
        label, list(names), index=first, format_func=names.__getitem__, key=key, bind="query-params", width=width
    )
    return picked


def nothing_yet(error: Exception) -> None:
    """The page where there is no result to show: what is wrong and what to do."""
    write(heading("There is nothing to show yet", 1), Markup('<p class="notice">{}</p>').format(str(error)))


def day(value: Any) -> str:
    """A date as 3 Feb 2026."""
    return "date unknown" if pd.isna(value) else f"{value.day} {value:%b %Y}"


def counted(number: int, one: str, many: str | None = None) -> str:
    """`1 item`, `1,200 items`."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def extent(value: float, unit: Any) -> str:
    """How much of something there is: `3 m²`, `1 piece`."""
    if unit == "nr":
        return f"{value:g} piece{'' if value == 1 else 's'}"
    return f"{value:g}" if pd.isna(unit) else f"{value:g} {unit.replace('m2', 'm²')}"


def percent(part: float, whole: float) -> str:
    """A share as a whole percentage, never 0 % or 100 % unless it is exactly that."""
    share = 100 * part / whole if whole else 0.0
    return f"{round(share) if share in (0, 100) else min(max(round(share), 1), 99)} %"


def share_of(part: int, whole: int) -> tuple[str, str]:
    """`12 of 40` and the share that it is, both blank where there is none of it."""
    return (f"{part:,} of {whole:,}", percent(part, whole)) if whole else ("", "")


def link(page: str, **parameters: str) -> str:
    """The address of a page with its parameters."""
    return f"{page}?{urlencode(parameters)}"


def link_to(building_ref: str, property_ref: str, item_id: str | None = None) -> str:
    """The address of a home, or of one item in it, with the way back to the list that one came from."""
    item = {"item": item_id} if item_id else {}
    came_from = {"back": st.query_params["back"]} if "back" in st.query_params else {}
    return link("building", building=building_ref, property=property_ref, **item, **came_from)


def links_to(rows: pd.DataFrame) -> "pd.Series[str]":
    """The address of each row's home or part, or of the item in it; None where a row is about none that is known."""
    columns = [rows[name] for name in ("building_ref", "property_ref", "item_id") if name in rows]
    names = ("building", "property", "item")
    addresses = [
        None if pd.isna(cells[1]) else link("building", **dict(zip(names, cells, strict=False)))
        for cells in zip(*columns, strict=True)
    ]
    return pd.Series(addresses, rows.index, dtype="str")


def property_column(label: str = "Property") -> Any:
    """How a table shows addresses of homes and parts: as their references, each a link to its page."""
    return st.column_config.LinkColumn(label, display_text=r"[?&]property=([^&]*)")


def figure(value: float) -> str:
    """A small figure to two digits that count: 2.3, 0.31, 0.0045."""
    if value == 0:
        return "0"
    if value < LEAST_SHOWN:
        return f"<{LEAST_SHOWN:g}"
    return f"{value:,.0f}" if value >= 10 else f"{float(f'{value:.2g}'):g}"


def precise(value: float) -> str:
    """A figure to three digits that count, from which others can be recomputed."""
    return f"{value:.3g}"


def percentage(value: float) -> str:
    """A probability in percent to two digits that count, below a heading that names the unit."""
    return figure(100 * value) if value < 0.995 else ">99" if value < 1 else "100"


def chance(value: float) -> str:
    """A probability as a percentage to two digits that count, never broken before its sign."""
    return f"{percentage(value)}\N{NO-BREAK SPACE}%"


def uncontrolled(done_by: str) -> str:
    """Why there is no figure with control."""
    return "no allowed way" if done_by == "trade" else "not expected"


def work(row: Any) -> str:
    """The name of a kind of work, who does it, and whether it goes on all year."""
    notes = ["occupant"] * (row.done_by != "trade") + ["all year"] * bool(row.is_all_year)
    return f"{row.work} ({', '.join(notes)})" if notes else str(row.work)


def no_event(works: pd.DataFrame) -> Markup:
    """How to read what goes on all year among works that are events, where there is any."""
    return paragraph(NO_EVENT) if works["is_all_year"].any() else Markup("")


def span(low: float, high: float, say: Callable[[float], str]) -> str:
    """A range of two figures."""
    return f"{say(low)} to {say(high)}"


def ranged(row: Any, name: str, say: Callable[[float], str] = figure) -> str:
    """A figure of a row with its range, `2.3 (1.1 to 4.5)`, or alone where its digits say both ends."""
    point, low, high = (say(getattr(row, f"{name}{end}")) for end in ("", "_low", "_high"))
    return point if point == low == high else f"{point} ({low} to {high})"


def with_range(row: Any, name: str, say: Callable[[float], str] = figure) -> Markup:
    """The same for a cell of a table, broken only between the figure and its range."""
    point, _, ends = ranged(row, name, say).partition(" ")
    return Markup('{} <span class="range">{}</span>').format(point, ends) if ends else Markup("{}").format(point)


def between(low: Any, high: Any) -> str:
    """A range of two whole numbers, or the one that both are."""
    return f"{low}" if low == high else f"{low} to {high}"


def folded(label: str, key: str, draw: Callable[[], None]) -> None:
    """A section that is asked for and drawn only while it is open, so that a page takes as long as what it shows."""
    box = st.expander(label, key=key, on_change="rerun")
    if box.open:
        with box:
            draw()


def as_csv(label: str, rows: Callable[[], pd.DataFrame], name: str) -> None:
    """A way to take a table away, as a line of text below it; its rows are asked for when somebody does."""
    st.download_button(
        label,
        lambda: exports.csv(rows()),
        file_name=f"{name}.csv",
        mime="text/csv",
        key=f"csv {name}",
        type="tertiary",
        on_click="ignore",
    )


def basis(questions: Sequence[str], tables: Sequence[str] = ()) -> None:
    """The queries behind what a page shows, one click away."""
    folded("Where these figures come from", f"basis {questions[0]}", lambda: _queries(questions, tables))


def _queries(questions: Sequence[str], tables: Sequence[str]) -> None:
    asked = [("answers", name) for name in questions]
    made = [(stage, name) for name in tables if (stage := queries.maker(name))]
    for label, shown in (
        (
            "Asked of the result. They run on portfolio.duckdb as they stand, with values for what begins with $.",
            asked,
        ),
        (
            "How a build made the tables that these ask. They run within a build, on steps of which not all are kept.",
            made,
        ),
    ):
        if shown:
            write(paragraph(label))
        for stage, name in shown:
            write(paragraph(f"queries/{stage}/{name}.sql", "source"))
            st.code(queries.load(stage, name).text, language="sql")


def table(headings: Sequence[str], rows: Iterable[Sequence[Any]], numbers: Sequence[int] = ()) -> Markup:
    """A plain table; `numbers` are the columns to align right. Markup in a cell stays markup, text is escaped."""

    def cell(tag: str, index: int, value: Any) -> Markup:
        kind = "number" if index in numbers else "written"
        if tag == "th":
            return Markup('<th class="{}">{}</th>').format(kind, value)
        return Markup('<td class="{}" data-heading="{}"><span>{}</span></td>').format(kind, plain[index], value)

    plain = [heading.striptags() if isinstance(heading, Markup) else heading for heading in headings]
    head = Markup("").join(cell("th", index, value) for index, value in enumerate(headings))
    body = Markup("").join(
        Markup("<tr>{}</tr>").format(Markup("").join(cell("td", index, value) for index, value in enumerate(row)))
        for row in rows
    )
    many = "many" if len(headings) > FEW_COLUMNS else ""
    return Markup(
        '<div class="scroll"><table class="{}"><thead><tr>{}</tr></thead><tbody>{}</tbody></table></div>'
    ).format(many, head, body)


def listed(step: int) -> int:
    """How many rows of a list to show: as many as its address says, else `step` of them."""
    asked = st.query_params.get(LISTED, "")
    return max(int(asked), step) if asked.isdecimal() and len(asked) <= MOST_DIGITS else step


def more(shown: int, of: int, step: int) -> None:
    """A button that shows as many more as there were at first, where there are more."""
    if shown < of:
        st.button(
            f"Show {min(step, of - shown)} more of {of:,}",
            on_click=st.query_params.update,
            args=({LISTED: shown + step},),
        )


def source(path: str, sheet: Any, row_number: int) -> str:
    """Where a row stands: file, sheet, row."""
    where = path if pd.isna(sheet) else f"{path}, sheet {sheet}"
    return f"{where}, row {row_number}"


def within(name: str) -> str:
    """A name within a sentence."""
    return f"{name[:1].lower()}{name[1:]}"


def in_words(term: Any) -> str:
    """A term of a vocabulary as words."""
    return "not said" if pd.isna(term) else str(term).replace("_", " ")
