"""What was handed in, how it was read, and what was not used and why."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard import actions, data, decisions, parts, readings, surveyed

QUESTIONS_MOST = 200
QUESTIONS_AT_ONCE = 10
ALL = "all"
ABOUT = {"property": "properties", "heading": "columns", "term": "words", "item link": "items"}
COUNTS = {
    "rows_read": "Rows read",
    "rows_used": "= used",
    "rows_set_aside": "+ set aside",
    "rows_layout": "Titles, headings",
}
NOT_USED = ("reason", "property_ref", "address", "path", "sheet", "row_number", "n_rows", "row_json")
TALL_PX = 92


def show() -> None:
    """The page: counts, one file as it was read, rows set aside, what to decide, doubts, words, what was surveyed."""
    counts()
    readings.one_file(data.ask("files"))
    rows_set_aside(data.ask("set_aside"))
    open_questions(data.ask("question_kinds"))
    readings.doubts(data.ask("doubt_counts"))
    readings.contradictions(data.ask("contradictions"))
    readings.unknown_words()
    surveyed.show()


def counts() -> None:
    """What was handed in and what became of it, by folder and by file."""
    folders = data.ask("folder_totals")
    files = data.ask("file_totals")
    total = next(data.each(folders.tail(1)))
    parts.write(
        parts.heading(
            f"{total.rows_read:,} rows handed in: {total.rows_used:,} used, "
            f"{total.rows_set_aside:,} set aside with a reason.",
            1,
        ),
        parts.paragraph(
            f"They come from {parts.counted(total.n_files, 'file')}; titles and headings ({total.rows_layout:,} rows) "
            "are not counted. No row is lost: in every file, rows read = rows used + rows set aside.",
            "quiet",
        ),
        parts.table(
            ["Folder", "Files", *COUNTS.values(), "Used as"],
            [
                (
                    "all" if pd.isna(row.kind) else f"{row.kind}/",
                    f"{row.n_files:,}",
                    *(f"{getattr(row, name):,}" for name in COUNTS),
                    "" if pd.isna(row.kind) else row.used_as,
                )
                for row in data.each(folders)
            ],
            numbers=[1, 2, 3, 4, 5],
        ),
    )
    st.dataframe(
        files,
        hide_index=True,
        placeholder="",
        column_order=["path", "n_sheets", *COUNTS, "sha256"],
        column_config={name: st.column_config.NumberColumn(label, format="localized") for name, label in COUNTS.items()}
        | {
            "path": st.column_config.TextColumn("File", width=320),
            "n_sheets": st.column_config.NumberColumn("Sheets", format="localized"),
            "sha256": st.column_config.TextColumn(
                "SHA-256", help="The file's fingerprint: any change to a file changes it."
            ),
        },
    )
    parts.as_csv("These as csv", lambda: files, "files")
    parts.basis(["folder_totals", "file_totals"], ["source_files"])


def rows_set_aside(rows: pd.DataFrame) -> None:
    """Every row that was not used, with its reason; all of them can be taken away."""
    parts.write(parts.heading("Set aside"))
    if rows.empty:
        parts.write(parts.paragraph("Every row was used."))
        return
    reasons = data.ask("reasons_to_mend")
    parts.write(
        parts.table(
            ["Reason", "What it means, and what to do", "Rows"],
            [
                (
                    parts.in_words(row.reason_code),
                    row.in_short,
                    f"{row.n_rows:,}",
                )
                for row in data.each(reasons)
            ],
            numbers=[2],
        )
    )
    names = {ALL: "all reasons"} | {code: parts.in_words(code) for code in sorted(reasons["reason_code"])}
    picked = parts.one_of(names, "Reason", "reason")
    shown = rows if picked == ALL else rows[rows["reason_code"] == picked]
    parts.write(
        parts.paragraph(
            f"{parts.counted(int(shown['n_rows'].sum()), 'row')}. A sheet or file set aside whole is one line.", "quiet"
        )
    )
    st.dataframe(
        shown.assign(property_ref=parts.links_to(shown)),
        hide_index=True,
        placeholder="",
        row_height=TALL_PX,
        column_order=NOT_USED,
        column_config={
            "reason": st.column_config.TextColumn("What is wrong and what to do", width=300),
            "property_ref": parts.property_column(),
            "address": st.column_config.TextColumn("Address", width=220),
            "path": st.column_config.TextColumn("File", width=240),
            "sheet": "Sheet",
            "row_number": st.column_config.NumberColumn("Row", format="%d"),
            "n_rows": st.column_config.NumberColumn("Rows", format="localized"),
            "row_json": st.column_config.TextColumn("The row as read", width="large"),
        },
    )
    parts.as_csv("These rows as csv", lambda: shown, "set_aside")
    parts.basis(["reasons_to_mend", "set_aside"], ["set_aside_rows", "row_fates"])


def open_questions(kinds: pd.DataFrame) -> None:
    """What only a person can decide, each with a form that answers it; an answer holds from the next build on."""
    asked = {ALL if pd.isna(row.kind) else row.kind: row.n for row in data.each(kinds)}
    if not asked[ALL]:
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
    picked = parts.one_of(
        {ALL: "everything"} | {kind: words for kind, words in ABOUT.items() if kind in asked}, "About", "about"
    )
    shown = data.ask("open_questions", kind=None if picked == ALL else picked, top=QUESTIONS_MOST)
    first = "" if asked[picked] == len(shown) else f" The {len(shown):,} that affect most rows are listed."
    parts.write(parts.paragraph(f"{parts.counted(asked[picked], 'question')}.{first}", "quiet"))
    so_far = {kind: decisions.decided(kind) for kind in ABOUT}
    most = st.session_state.setdefault("questions shown", QUESTIONS_AT_ONCE)
    places: dict[tuple[str, ...], list[Any]] = {}
    for place in data.each(data.ask("question_places")):
        places.setdefault((place.kind, *place.asked), []).append(place)
    for row in data.each(shown.head(most)):
        decisions.question(row, so_far[row.kind], places.get((row.kind, *row.asked), []))
    if len(shown) > most and st.button(f"Show {min(QUESTIONS_AT_ONCE, len(shown) - most)} more of {len(shown):,}"):
        st.session_state["questions shown"] = most + QUESTIONS_AT_ONCE
        st.rerun()
    parts.as_csv("These as csv", lambda: shown, "questions")
    parts.basis(["question_kinds", "open_questions", "question_places"], ["open_questions"])


show()
