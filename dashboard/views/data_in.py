"""What was handed in, how it was read, and what was not used and why."""

from collections.abc import Mapping
from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import actions, data, decisions, parts
from pipelines import exports

FIRST_ROWS = 4
WORDS_SHOWN = 200
QUESTIONS_MOST = 200
QUESTIONS_AT_ONCE = 10
ALL = "all"
ABOUT = {"property": "properties", "heading": "columns", "term": "words", "item link": "items"}
COUNTS = {"rows_read": "Rows read", "rows_used": "Used", "rows_set_aside": "Set aside", "rows_layout": "Layout"}
TALL_PX, LOW_PX = 74, 54
UNSEEN = (
    *("property_ref", "address", "area", "oldest_year", "exceedances", "likeliest"),
    *("part", "dwelling_type", "n_no_access", "postcode", "uprn"),
)
PARTS = {"area": "Area", "era": "Oldest part built"}


def show() -> None:
    """The page: counts, one file as it was read, rows set aside, what to decide, doubts, words, what was surveyed."""
    files = data.ask("file_totals")
    totals = files[list(COUNTS)].sum()
    parts.write(
        parts.heading(
            f"{totals['rows_read']:,} rows handed in: {totals['rows_used']:,} used, "
            f"{totals['rows_set_aside']:,} set aside with a reason.",
            1,
        ),
        parts.paragraph(
            f"They come from {parts.counted(len(files), 'file')}; titles and headings "
            f"({totals['rows_layout']:,} rows) are not counted. No row is lost: read = used + set aside.",
            "quiet",
        ),
    )
    st.dataframe(
        files,
        hide_index=True,
        placeholder="",
        column_config={name: st.column_config.NumberColumn(label, format="localized") for name, label in COUNTS.items()}
        | {
            "path": st.column_config.TextColumn("File", width=320),
            "kind": "Kind",
            "n_sheets": st.column_config.NumberColumn("Sheets", format="localized"),
            "sha256": "SHA-256 of the file",
        },
    )
    one_file(data.ask("files"))
    rows_set_aside(data.ask("set_aside"))
    open_questions(data.ask("open_questions", top=QUESTIONS_MOST))
    doubts(data.ask("doubt_counts"))
    unknown_words(data.ask("unknown_words", top=WORDS_SHOWN))
    coverage()
    parts.basis(
        ["file_totals", "set_aside", "open_questions", "doubt_counts", "doubt_rows", "coverage", "never_surveyed"],
        ["source_files", "set_aside_rows", "doubts", "surveyed_properties", "possible_items"],
    )


def one_file(files: pd.DataFrame) -> None:
    """How the columns of a file were read, above its first rows."""
    if files.empty:
        return
    parts.write(parts.heading("How a file was read"))
    parts.left_out("file", "File and sheet", [file_name(row) for _, row in files.iterrows()])
    index = st.selectbox(
        "File and sheet",
        files.index,
        format_func=lambda at: file_name(files.loc[at]),
        key="file",
        bind="query-params",
        width=620,
    )
    chosen = files.loc[index]
    where = {"path": chosen["path"], "sheet": None if pd.isna(chosen["sheet"]) else chosen["sheet"]}
    headings = data.ask("file_headings", **where)
    if headings.empty:
        parts.notice("No heading row was found, so nothing of it was used. The reason stands below.")
        return
    rows = data.ask("file_first_rows", **where, top=FIRST_ROWS)
    unread = int(headings["field"].isna().sum())
    hidden = "The workbook hides this sheet; it is read all the same. " if chosen["is_hidden"] else ""
    parts.write(
        parts.paragraph(
            f"{hidden}{chosen['rows_read']:,} rows read, {chosen['rows_used']:,} used, {chosen['rows_set_aside']:,} "
            f"set aside. {len(headings) - unread} of its {parts.counted(len(headings), 'column')} are read; what each "
            "was read as stands under its heading, with how sure that is where it is not the known words.",
            "quiet",
        ),
        Markup('<div class="wide">{}</div>').format(
            parts.table(
                ["row", *(column_head(column) for column in data.each(headings))],
                [(row.row_number, *padded(row.cells, len(headings))) for row in data.each(rows)],
                numbers=[0],
            )
        ),
    )


def file_name(row: Any) -> str:
    """A file and its sheet in a list."""
    return str(row["path"]) if pd.isna(row["sheet"]) else f"{row['path']}, sheet {row['sheet']}"


def column_head(column: Any) -> Markup:
    """A heading as written, over what it was read as."""
    if pd.isna(column.field):
        read = Markup('<span class="quiet" title="{}">not used</span>').format(column.reason)
    else:
        sure = "" if column.confidence == 1 else f" ({parts.percent(int(100 * column.confidence), 100)} sure)"
        read = Markup('<span class="field" title="{}">{}{}</span>').format(
            column.reason, parts.in_words(column.field), sure
        )
    return Markup("{}<br>{}").format("(blank)" if pd.isna(column.heading) else column.heading, read)


def padded(cells: Any, width: int) -> list[str]:
    """A row's cells, as many as there are headings."""
    return [*cells, *[""] * width][:width]


def one_of(names: Mapping[str, str], label: str, key: str, first: int = 0, width: int = 480) -> str:
    """What is chosen among several by their names in words, which stands in the page's address."""
    parts.left_out(key, label, names.values())
    picked: str = st.selectbox(
        label, list(names), index=first, format_func=names.__getitem__, key=key, bind="query-params", width=width
    )
    return picked


def rows_set_aside(rows: pd.DataFrame) -> None:
    """Every row that was not used, with its reason; all of them can be taken away."""
    parts.write(parts.heading("Set aside"))
    if rows.empty:
        parts.write(parts.paragraph("Every row was used."))
        return
    names = {ALL: "all reasons"} | {code: parts.in_words(code) for code in sorted(rows["reason_code"].unique())}
    picked = one_of(names, "Reason", "reason")
    shown = rows if picked == ALL else rows[rows["reason_code"] == picked]
    parts.write(
        parts.paragraph(
            f"{parts.counted(int(shown['n_rows'].sum()), 'row')}. A sheet or file set aside whole is one line.", "quiet"
        )
    )
    st.dataframe(
        shown[["path", "sheet", "row_number", "n_rows", "reason", "row_json"]],
        hide_index=True,
        placeholder="",
        row_height=TALL_PX,
        column_config={
            "path": st.column_config.TextColumn("File", width=280),
            "sheet": "Sheet",
            "row_number": st.column_config.NumberColumn("Row", format="%d"),
            "n_rows": st.column_config.NumberColumn("Rows", format="localized"),
            "reason": st.column_config.TextColumn("What is wrong and what to do", width=380),
            "row_json": st.column_config.TextColumn("The row as read", width="large"),
        },
    )
    st.download_button("These rows as csv", lambda: exports.csv(shown), file_name="set_aside.csv", mime="text/csv")


def doubts(counts: pd.DataFrame) -> None:
    """What was read with a flag: how often each, and where."""
    parts.write(parts.heading("Doubts"))
    if counts.empty:
        parts.write(parts.paragraph("Nothing was read with a flag."))
        return
    total, accepted = int(counts["n_open"].sum()), int(counts["n_accepted"].sum())
    parts.write(
        parts.paragraph(
            f"{parts.counted(total, 'doubt')} about fields of rows that were used are open, "
            f"{accepted:,} {'was' if accepted == 1 else 'were'} accepted. Each stands beside its row on the page "
            "Building, and widens a range where it bears on a figure.",
            "quiet",
        ),
        parts.paragraph(
            " ".join(
                f"{kind.capitalize()}: {meaning}."
                for kind, meaning in dict(zip(counts["kind"], counts["meaning"], strict=True)).items()
            ),
            "quiet",
        ),
        parts.table(
            ["Field", "What is in doubt, and what was taken", "Kind", "Open", "Accepted"],
            [
                (parts.in_words(row.field), row.reason, row.kind, f"{row.n_open:,}", f"{row.n_accepted:,}")
                for row in data.each(counts)
            ],
            numbers=[3, 4],
        ),
    )
    names = {ALL: "all doubts"} | {row.doubt: f"{parts.in_words(row.field)}: {row.reason}" for row in data.each(counts)}
    picked = one_of(names, "The rows in doubt", "doubt", first=1, width=620)
    found = data.ask("doubt_rows", doubt=None if picked == ALL else picked)
    st.dataframe(
        found.assign(field=found["field"].map(parts.in_words)),
        hide_index=True,
        placeholder="",
        row_height=LOW_PX,
        column_config={
            "path": st.column_config.TextColumn("File", width=280),
            "sheet": "Sheet",
            "row_number": st.column_config.NumberColumn("Row", format="%d"),
            "property_ref": "Property",
            "address": st.column_config.TextColumn("Address", width=240),
            "field": "Field",
            "kind": "Kind",
            "reason": st.column_config.TextColumn("Doubt", width=380),
            "accepted_by": "Accepted by",
            "accepted_on": st.column_config.DateColumn("On", format="D MMM YYYY"),
        },
    )
    st.download_button("These doubts as csv", lambda: exports.csv(found), file_name="doubts.csv", mime="text/csv")


def coverage() -> None:
    """How much was surveyed, by area and by age, and what never was."""
    parts.write(
        parts.heading("What was surveyed"),
        parts.paragraph(
            "A home or part counts as surveyed where somebody was inside and looked: not only at the door, not only "
            f"for one sample, not only in a home thought alike. {parts.DUTY}",
            "quiet",
        ),
    )
    for column, (by, label) in zip(st.columns(len(PARTS), gap="large"), PARTS.items(), strict=True):
        with column:
            parts.write(
                parts.table(
                    [label, "Homes surveyed", "Share", f"{parts.PREMISES.capitalize()} surveyed", "Share"],
                    [
                        (
                            row.part,
                            *parts.share_of(row.homes_surveyed, row.homes),
                            *parts.share_of(row.premises_surveyed, row.premises),
                        )
                        for row in data.each(data.ask("coverage", by=by))
                    ],
                    numbers=[1, 2, 3, 4],
                )
            )
    never_surveyed()


def never_surveyed() -> None:
    """Homes and parts that nobody has looked at, and what is likeliest to be in them."""
    parts.write(parts.heading("Never surveyed"))
    values = data.ask("filter_values")
    known = {by: [ALL, *values.loc[values["filter"] == by, "value"]] for by in PARTS}
    picked: dict[str, str | None] = {}
    for by, label in PARTS.items():
        parts.left_out(f"never_{by}", label, known[by])
    for column, (by, label) in zip(st.columns([1] * len(PARTS) + [2]), PARTS.items(), strict=False):
        with column:
            chosen = st.selectbox(label, known[by], key=f"never_{by}", bind="query-params")
            picked[by] = None if chosen == ALL else chosen
    found = data.ask("never_surveyed", **picked)
    if found.empty:
        parts.write(parts.paragraph("Every home and part here was surveyed."))
        return
    parts.write(
        parts.paragraph(
            f"{parts.counted(len(found), 'home or part', 'homes and parts')}, the most expected exposure first. What "
            "is likeliest there is a chance from homes built alike, no finding: before work, presume all of it. Their "
            "figures have ranges on the page Building.",
            "quiet",
        )
    )
    st.dataframe(
        found,
        hide_index=True,
        placeholder="",
        row_height=LOW_PX,
        column_order=UNSEEN,
        column_config={
            "property_ref": "Reference",
            "uprn": st.column_config.NumberColumn("UPRN", format="%d"),
            "address": st.column_config.TextColumn("Address", width=260),
            "postcode": "Postcode",
            "area": "Area",
            "part": "Part",
            "dwelling_type": "Type",
            "oldest_year": st.column_config.NumberColumn("Oldest part built", format="%d"),
            "n_no_access": st.column_config.NumberColumn("Rows without access", format="%d"),
            "likeliest": st.column_config.TextColumn("Likeliest there", width=380),
            "exceedances": st.column_config.NumberColumn("Exceedances a year", format="%.2g"),
        },
    )
    st.download_button("These as csv", lambda: exports.csv(found), file_name="never_surveyed.csv", mime="text/csv")


def open_questions(questions: pd.DataFrame) -> None:
    """What only a person can decide, each with a form that answers it; an answer holds from the next build on."""
    if questions.empty:
        return
    parts.write(
        parts.heading("Open questions"),
        parts.paragraph(
            "What only a person can decide, most rows affected first. An answer is one line in a file of corrections/; "
            "it holds from the next build on, and nobody's files are edited.",
            "quiet",
        ),
    )
    reason = actions.why_not(data.folder())
    if reason:
        parts.notice(f"Answers cannot be written here: {reason}. Each question has the line to append by hand.")
    there = set(questions["kind"])
    names = {ALL: "everything"} | {kind: words for kind, words in ABOUT.items() if kind in there}
    picked = one_of(names, "About", "about")
    shown = questions if picked == ALL else questions[questions["kind"] == picked]
    parts.write(parts.paragraph(f"{parts.counted(len(shown), 'question')}.", "quiet"))
    so_far = {kind: decisions.decided(kind) for kind in ABOUT}
    most = st.session_state.setdefault("questions shown", QUESTIONS_AT_ONCE)
    for row in data.each(shown.head(most)):
        decisions.question(row, so_far[row.kind])
    if len(shown) > most and st.button(f"Show {min(QUESTIONS_AT_ONCE, len(shown) - most)} more of {len(shown):,}"):
        st.session_state["questions shown"] = most + QUESTIONS_AT_ONCE
        st.rerun()


def unknown_words(words: pd.DataFrame) -> None:
    """Words that no table knows; their rows are used, with a doubt."""
    if words.empty:
        return
    parts.write(
        parts.heading("Words that are not known"),
        parts.paragraph("Their rows are used, with a doubt.", "quiet"),
        parts.table(
            ["Field", "Word as written", "Rows", "Spelt most like words for"],
            [
                (parts.in_words(row.field), row.term, row.n_rows, parts.in_words(row.nearest))
                for row in data.each(words)
            ],
            numbers=[2],
        ),
    )


show()
