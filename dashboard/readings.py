"""How columns, fields and words of the files were read, and what visits to an item say against each other."""

from typing import Any

import pandas as pd
import streamlit as st
from markupsafe import Markup

from dashboard import data, parts

FIRST_ROWS = 4
WORDS_SHOWN = 200
ALL = "all"
ROW_PX = 74
DOUBTED = (
    *("property_ref", "address", "field", "reason", "kind", "path", "sheet", "row_number"),
    *("accepted_by", "accepted_on"),
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
    parts.as_csv("These columns as csv", lambda: headings, "columns_as_read")
    parts.basis(["files", "file_headings", "file_first_rows"], ["heading_rows", "source_files"])


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
    return Markup("{} <br>{}").format("(blank)" if pd.isna(column.heading) else column.heading, read)


def padded(cells: Any, width: int) -> list[str]:
    """A row's cells, as many as there are headings."""
    return [*cells, *[""] * width][:width]


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
    parts.as_csv("These as csv", lambda: counts, "doubts_by_kind")
    names = {ALL: "all doubts"} | {row.doubt: f"{parts.in_words(row.field)}: {row.reason}" for row in data.each(counts)}
    picked = parts.one_of(names, "The rows in doubt", "doubt", first=1, width=620)
    found = data.ask("doubt_rows", doubt=None if picked == ALL else picked)
    st.dataframe(
        found.assign(field=found["field"].map(parts.in_words), property_ref=parts.links_to(found)),
        hide_index=True,
        placeholder="",
        row_height=ROW_PX,
        column_order=DOUBTED,
        column_config={
            "path": st.column_config.TextColumn("File", width=280),
            "sheet": "Sheet",
            "row_number": st.column_config.NumberColumn("Row", format="%d"),
            "property_ref": parts.property_column(),
            "address": st.column_config.TextColumn("Address", width=240),
            "field": "Field",
            "kind": "Kind",
            "reason": st.column_config.TextColumn("Doubt", width=380),
            "accepted_by": "Accepted by",
            "accepted_on": st.column_config.DateColumn("On", format="D MMM YYYY"),
        },
    )
    parts.as_csv("These doubts as csv", lambda: found, "doubts")
    parts.basis(["doubt_counts", "doubt_rows"], ["doubts"])


def contradictions(found: pd.DataFrame) -> None:
    """What visits to one item say against each other, each a link to it."""
    if found.empty:
        return
    parts.write(
        parts.heading("What visits say against each other"),
        parts.paragraph(
            f"{parts.counted(len(found), 'contradiction')}. Each stands beside its item on the page Building too.",
            "quiet",
        ),
    )
    st.dataframe(
        found.assign(property_ref=parts.links_to(found)),
        hide_index=True,
        placeholder="",
        row_height=ROW_PX,
        column_order=["in_words", "said", "property_ref", "address"],
        column_config={
            "in_words": st.column_config.TextColumn("What differs", width=300),
            "said": st.column_config.TextColumn("What they say", width=340),
            "property_ref": parts.property_column("Item in"),
            "address": st.column_config.TextColumn("Address", width=260),
        },
    )
    parts.as_csv("These as csv", lambda: found, "contradictions")
    parts.basis(["contradictions"], ["item_contradictions"])


def unknown_words() -> None:
    """Words that no table knows, the most used first."""
    words = data.ask("unknown_words", top=WORDS_SHOWN)
    if words.empty:
        return
    parts.write(
        parts.heading("Words that are not known"),
        parts.paragraph(
            "Rows of property lists and registers that have them are used with the field left open, in registers with "
            f"a doubt; jobs and laboratories' results in such words are set aside.{more_than(words)}",
            "quiet",
        ),
        parts.table(
            ["Field", "Word as written", "Rows", "Spelt most like words for"],
            [
                (parts.in_words(row.field), row.term, row.n_rows, parts.in_words(row.nearest))
                for row in data.each(words)
            ],
            numbers=[2],
        ),
    )
    parts.as_csv("These as csv", lambda: data.ask("unknown_words", top=None), "unknown_words")
    parts.basis(["unknown_words"], ["unknown_terms"])


def more_than(words: pd.DataFrame) -> str:
    """How many words there are where only the most used are shown."""
    n_words = words["n_words"].iloc[0]
    return "" if n_words == len(words) else f" Of {n_words:,} the {len(words):,} most used are shown; the csv has all."
