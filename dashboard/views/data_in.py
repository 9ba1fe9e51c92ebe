"""What was handed in, how it was read, and what was not used and why."""

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
ABOUT = {"property": "properties", "heading": "columns", "term": "words", "item link": "items"}
COUNTS = ["rows_read", "rows_used", "rows_set_aside", "rows_layout"]


def show() -> None:
    """The page: counts, one file as it was read, rows set aside, words not known."""
    files = data.ask("files")
    set_aside = data.ask("set_aside")
    totals = files[COUNTS].sum()
    parts.write(
        parts.heading(
            f"{totals['rows_read']:,} rows handed in: {totals['rows_used']:,} used, "
            f"{totals['rows_set_aside']:,} set aside with a reason.",
            1,
        ),
        parts.paragraph(
            f"They come from {parts.counted(files['path'].nunique(), 'file')}; titles and headings "
            f"({totals['rows_layout']:,} rows) are not counted. No row is lost: read = used + set aside.",
            "quiet",
        ),
    )
    st.dataframe(
        files.assign(sheet=[sheet_name(row) for row in data.each(files)])[["path", "sheet", "kind", *COUNTS, "sha256"]],
        hide_index=True,
        column_config={
            "path": st.column_config.TextColumn("File", width="medium"),
            "sheet": "Sheet",
            "kind": "Kind",
            "rows_read": st.column_config.NumberColumn("Rows read", format="localized"),
            "rows_used": st.column_config.NumberColumn("Used", format="localized"),
            "rows_set_aside": st.column_config.NumberColumn("Set aside", format="localized"),
            "rows_layout": st.column_config.NumberColumn("Layout", format="localized"),
            "sha256": "SHA-256 of the file",
        },
    )
    one_file(files)
    rows_set_aside(set_aside)
    open_questions(data.ask("open_questions", top=QUESTIONS_MOST))
    unknown_words(data.ask("unknown_words", top=WORDS_SHOWN))


def one_file(files: pd.DataFrame) -> None:
    """How the columns of a file were read, above its first rows."""
    parts.write(parts.heading("How a file was read"))
    tables = files[files["kind"].isin(["registers", "stock"])].reset_index(drop=True)
    index = st.selectbox(
        "File and sheet",
        tables.index,
        format_func=lambda at: file_name(tables.loc[at]),
        key="file",
        width=480,
    )
    chosen = tables.loc[index]
    where = {"path": chosen["path"], "sheet": None if pd.isna(chosen["sheet"]) else chosen["sheet"]}
    headings = data.ask("file_headings", **where)
    if headings.empty:
        parts.notice("No heading row was found, so nothing of it was used. The reason stands below.")
        return
    rows = data.ask("file_first_rows", **where, top=FIRST_ROWS)
    unread = int(headings["field"].isna().sum())
    parts.write(
        parts.paragraph(
            f"{len(headings) - unread} of its {parts.counted(len(headings), 'column')} are read; what each was read as "
            "stands under its heading, with how sure that is where it is not the known words.",
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


def sheet_name(row: Any) -> str:
    """A sheet in a table, and whether the workbook hides it; blank for files without sheets."""
    return "" if pd.isna(row.sheet) else f"{row.sheet} (hidden)" if row.is_hidden else str(row.sheet)


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


def rows_set_aside(rows: pd.DataFrame) -> None:
    """Every row that was not used, with its reason; all of them can be taken away."""
    parts.write(parts.heading("Set aside"))
    if rows.empty:
        parts.write(parts.paragraph("Every row was used."))
        return
    codes = rows["reason_code"].value_counts()
    picked = st.selectbox(
        "Reason",
        ["all", *codes.index],
        format_func=lambda code: (
            f"all reasons ({len(rows):,})" if code == "all" else f"{parts.in_words(code)} ({codes[code]:,})"
        ),
        key="reason",
        width=480,
    )
    shown = rows if picked == "all" else rows[rows["reason_code"] == picked]
    st.dataframe(
        shown[["path", "sheet", "row_number", "reason", "row_json"]],
        hide_index=True,
        column_config={
            "path": st.column_config.TextColumn("File", width="medium"),
            "sheet": "Sheet",
            "row_number": st.column_config.NumberColumn("Row"),
            "reason": st.column_config.TextColumn("What is wrong and what to do", width="large"),
            "row_json": st.column_config.TextColumn("The row as read", width="large"),
        },
    )
    st.download_button("These rows as csv", lambda: exports.csv(shown), file_name="set_aside.csv", mime="text/csv")


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
    counts = questions["kind"].value_counts()
    picked = st.selectbox(
        "About",
        ["all", *(kind for kind in ABOUT if kind in counts)],
        format_func=lambda kind: (
            f"everything ({len(questions):,})" if kind == "all" else f"{ABOUT[kind]} ({counts[kind]:,})"
        ),
        key="about",
        width=480,
    )
    shown = questions if picked == "all" else questions[questions["kind"] == picked]
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
        parts.paragraph("Their rows are used, with a doubt. Nothing is guessed from spelling.", "quiet"),
        parts.table(
            ["Field", "Word as written", "Rows", "Spelt most like words for"],
            [(parts.in_words(row.field), row.term, row.n_rows, row.nearest) for row in data.each(words)],
            numbers=[2],
        ),
    )


show()
